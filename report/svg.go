package report

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"

	"pourweek/model"
)

// Size of the plot in pixels, and the room around it.
const (
	svgWidth, svgHeight = 640, 360
	svgLeft, svgRight   = 80, 80
	svgTop, svgBottom   = 40, 50
	// svgCrew is the least width of a crew size, so that words under it do not run
	// into those of the next: the plot of many is wider.
	svgCrew = 80
)

// WriteCasesSVG draws cost (bars, left scale) and late hours (line, right
// scale) by crew size as SVG 1.1. It errors when fewer than two crew sizes have
// a plan.
func WriteCasesSVG(w io.Writer, c *Cases) error {
	pts := c.crews()
	if len(pts) < 2 {
		return fmt.Errorf("a plot needs two crew sizes with a plan, such as --people 3..6")
	}
	most, late := model.Mils(1), 1.0
	for _, x := range pts {
		most, late = max(most, x.Cost), max(late, x.LateHours)
	}
	width := max(svgWidth, svgLeft+svgRight+svgCrew*len(pts))
	var b bytes.Buffer
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" viewBox="0 0 %d %d" font-family="sans-serif" font-size="12">`+"\n",
		width, svgHeight, width, svgHeight)
	fmt.Fprintf(&b, `<rect width="%d" height="%d" fill="white"/>`+"\n", width, svgHeight)
	fmt.Fprintf(&b, `<text x="%d" y="22" font-size="14">%s, week of %s: cost (bars, %s) and late hours (line)%s`+"\n",
		svgLeft-60, escaped(c.Shop), escaped(c.Monday), escaped(c.Currency), svgTitleEnd)
	step := float64(width-svgLeft-svgRight) / float64(len(pts))
	tall := float64(svgHeight - svgTop - svgBottom)
	foot := float64(svgHeight - svgBottom)
	var line string
	for i, x := range pts {
		left := float64(svgLeft) + step*float64(i)
		h := tall * float64(x.Cost) / float64(most)
		fmt.Fprintf(&b, `<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" fill="#9bb7c9"/>`+"\n", left+step*0.15, foot-h, step*0.7, h)
		fmt.Fprintf(&b, `<text x="%.1f" y="%.1f" text-anchor="middle">%.0f</text>`+"\n", left+step/2, foot-h-4, float64(x.Cost)/1000)
		fmt.Fprintf(&b, `<text x="%.1f" y="%.1f" text-anchor="middle">%d people</text>`+"\n", left+step/2, foot+18, x.People)
		fmt.Fprintf(&b, `<text x="%.1f" y="%.1f" text-anchor="middle" fill="#a04000">%s h late</text>`+"\n", left+step/2, foot+36, lateHours(x.LateHours))
		line += fmt.Sprintf("%.1f,%.1f ", left+step/2, foot-tall*x.LateHours/late)
	}
	fmt.Fprintf(&b, `<polyline points="%s" fill="none" stroke="#a04000" stroke-width="2"/>`+"\n", line[:len(line)-1])
	fmt.Fprintf(&b, `<line x1="%d" y1="%.1f" x2="%d" y2="%.1f" stroke="black"/>`+"\n</svg>\n", svgLeft, foot, width-svgRight, foot)
	_, err := w.Write(b.Bytes())
	return err
}

// svgTitleEnd ends the title of the plot, which stands near its beginning.
const svgTitleEnd = " by crew size</text>"

// IsCasesSVG reports whether a file that begins with head may be a plot that
// WriteCasesSVG wrote.
func IsCasesSVG(head []byte) bool {
	return bytes.HasPrefix(head, []byte("<svg ")) && bytes.Contains(head, []byte(svgTitleEnd))
}

func escaped(s string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(s)) // a bytes.Buffer cannot fail
	return b.String()
}
