package app

import (
	"context"
	"net/url"

	"limeday/cmd/internal/page"
	"limeday/cmd/internal/quantity"
)

// Practice implements page.Desk.
func (d *desk) Practice(_ context.Context, _ url.Values, _ quantity.Units, _ bool) page.Practice {
	return page.Practice{}
}
