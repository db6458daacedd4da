package drawing

// Style is the drawings' CSS, for the one style element of the page that they stand in; a file of its own brings
// it along. Every colour is a variable: ink and quiet are for text, on paper and on hours.
const Style = `.ld{--paper:#fbfaf6;--ink:#1d2833;--quiet:#4d5a66;--hours:#efece2;--rule:#cfcabb;--wet:#45719c;--work:#8a4b10;--off:#6b7680;
display:block;width:100%;height:auto;color:var(--ink);font-family:system-ui,-apple-system,"Segoe UI",Roboto,"Helvetica Neue",Arial,sans-serif}
.ld text{fill:var(--ink);font-size:15.5px}
.ld .h{font-size:17px;font-weight:700}
.ld .s{font-size:14px}
.ld .q{fill:var(--quiet)}
.ld .halo{stroke:var(--paper);stroke-width:4px;stroke-linejoin:round;paint-order:stroke}
.ld .end{text-anchor:end}
.ld .mid{text-anchor:middle}
.ld .paper{fill:var(--paper)}
.ld .hours{fill:var(--hours)}
.ld .grid{stroke:var(--rule);stroke-width:1}
.ld .rule{stroke:var(--quiet);stroke-width:1;fill:none}
.ld .span{stroke:var(--ink);stroke-width:3;fill:none}
.ld .wet{stroke:var(--wet);stroke-width:1}
.ld .firming{stroke:var(--wet);stroke-width:1}
.ld .compress{stroke:var(--work);stroke-width:1.6}
.ld .burnish{fill:var(--work);stroke:var(--work);stroke-width:1.6}
.ld .drying{stroke:var(--off);stroke-width:1}
.ld .open{fill:none;stroke:var(--ink);stroke-width:1.6}
.ld .mark{stroke:var(--ink);stroke-width:1.6;fill:none}
.ld .edge{stroke:var(--ink);stroke-width:2.4;fill:none}
.ld .funnel{stroke:var(--quiet);stroke-width:1;stroke-dasharray:2 3;fill:none}
.ld .air{stroke:var(--work);stroke-width:1.8;fill:none;stroke-linejoin:round}
.ld .face{stroke:var(--ink);stroke-width:3.6;fill:none;stroke-linejoin:round}
.ld .dew{stroke:var(--wet);stroke-width:2.2;stroke-dasharray:1 5;stroke-linecap:round;fill:none}
.ld .was{stroke:var(--quiet);stroke-width:2;stroke-dasharray:7 5;fill:none}
.ld .then{stroke:var(--quiet);stroke-width:1.4;fill:var(--paper)}
.ld .level{stroke:var(--quiet);stroke-width:1;stroke-dasharray:1 4;fill:none}
.ld .sun{stroke:var(--work);stroke-width:1.4}
.ld .rain{stroke:var(--wet);stroke-width:1.4}
.ld .p-sun{stroke:var(--work);stroke-width:1.4;fill:none}
.ld .sure{stroke:var(--ink);stroke-width:1.6;fill:none}
.ld .limit{stroke:var(--ink);stroke-width:1.2;fill:none}
.ld .known{stroke:var(--quiet);stroke-width:1.2;stroke-dasharray:6 3;fill:none}
.ld .ground{fill:var(--paper)}
.ld .p-wet{stroke:var(--wet);stroke-width:2.2;fill:none}
.ld .p-work{stroke:var(--work);stroke-width:1.5;fill:none}
.ld .p-off{fill:var(--off)}
.ld .whole{fill:var(--hours);stroke:var(--rule);stroke-width:.75}
.ld .share{fill:var(--work)}
.ld .safe{fill:var(--hours);stroke:var(--wet);stroke-width:1.4}
.ld .stop{stroke:var(--ink);stroke-width:2;fill:none}
.ld .nearly{stroke:var(--ink);stroke-width:1.8;fill:none}
.ld .half{stroke:var(--ink);stroke-width:1.4;stroke-dasharray:3 4;fill:none}
.ld .lay{stroke:var(--wet);stroke-width:1}
.ld .pause{fill:var(--paper);stroke:var(--quiet);stroke-width:1;stroke-dasharray:3 2}
.ld .damp{stroke:var(--off);stroke-width:1}
.ld .p-damp{stroke:var(--off);stroke-width:.7;fill:none}
.ld .part-a{fill:var(--hours)}
.ld .part-b{stroke:none}
.ld .part-c{stroke:none}
.ld .p-part{stroke:var(--off);stroke-width:.9;fill:none}
.ld .patch{stroke:var(--quiet);stroke-width:.9;fill:none}
.ld .numbered{stroke:var(--ink);stroke-width:2;fill:none}
.ld .unplanned{stroke:var(--ink);stroke-width:1.4;fill:var(--paper)}
.ld .opening{fill:var(--paper);stroke:var(--ink);stroke-width:1.8}
.ld .frame{stroke:var(--ink);stroke-width:1.4;fill:none}
.ld .joint{stroke:var(--ink);stroke-width:3.4;stroke-dasharray:9 5;fill:none}
.ld .may{stroke:var(--ink);stroke-width:1.2;fill:var(--paper)}
.ld .lift{stroke:var(--ink);stroke-width:1.2;stroke-dasharray:10 3 2 3;fill:none}
@media print{svg.ld{max-height:100vh}}
@media screen and (min-width:700px){.ld text{font-size:13px}.ld .h{font-size:15px}.ld .s{font-size:12px}}
@media screen and (prefers-color-scheme:dark){.ld{--paper:#161b20;--ink:#edf0f2;--quiet:#a8b3bd;--hours:#222a32;--rule:#3a444e;--wet:#7fa9d4;--work:#e3a55c;--off:#95a0aa}}
`
