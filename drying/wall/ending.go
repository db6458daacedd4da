package wall

// Water that comes faster than a saturated face takes it stands before it as a film and runs off: below
// the suction at the wet end of the tables, which no pore of a wall has, runRate leaves per unit of
// ln(suction).
const runRate = 1e-3 // kg/(m2 s)

// atEnd evaluates the boundary before face node i.
func (v *Solver) atEnd(e, i int, pv, pvY, pvT float64) {
	d := &v.ends[e]
	if d.b == nil {
		return
	}
	t := v.temp[0]
	if v.p.Thermal == Conducting {
		t = v.temp[i]
	}
	d.s = Surface{Y: v.y[i], Pressure: pv, Temperature: t}
	d.b.Exchange(&d.s, &d.x)
	d.waterY = d.x.WaterPressure*pvY + d.x.WaterY
	d.waterT = d.x.WaterPressure*pvT + d.x.WaterTemp
	f := v.p.Fluid
	carried, per := f.latent+f.vapourHeat*t, f.vapourHeat
	if d.x.Liquid {
		carried, per = f.waterHeat*t, f.waterHeat
	}
	if v.p.Thermal == Lumped { // no heat is stored, so only the change of phase counts
		if d.x.Liquid {
			carried, per = 0, 0
		} else {
			carried, per = f.latent+(f.vapourHeat-f.waterHeat)*t, f.vapourHeat-f.waterHeat
		}
	}
	d.heat = d.x.Heat - d.x.Water*carried
	d.heatY = d.x.HeatPressure*pvY - d.waterY*carried
	d.heatT = d.x.HeatTemp + d.x.HeatPressure*pvT - d.waterT*carried - d.x.Water*per
	if r := d.x.Rain; r > 0 {
		d.x.Water -= r
		if v.p.Thermal == Conducting {
			d.heat += r * f.waterHeat * d.x.RainTemp
		}
	}
	d.run, d.runY = 0, 0
	if y := v.y[i]; y < tableMin {
		d.run, d.runY = runRate*(tableMin-y), -runRate
		d.x.Water += d.run
		d.waterY += d.runY
		if v.p.Thermal == Conducting {
			d.heat -= d.run * f.waterHeat * t
			d.heatY -= d.runY * f.waterHeat * t
			d.heatT -= d.run * f.waterHeat
		}
	}
}
