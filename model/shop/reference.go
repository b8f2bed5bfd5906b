package shop

import (
	"fmt"
	"io"
	"strings"
)

// sections are all tables in the order of the reference.
func sections() []section {
	return []section{
		shopTable.section(), airTable.section(), overtimeTable.section(), personTable.section(),
		mixerTable.section(), mixTable.section(), cureTable.section(), stationTable.section(), rackTable.section(),
		pieceTable.section(), prepTable.section(), coatTable.section(), coverTable.section(), demoldTable.section(),
		finishTable.section(), spanTable.section(), moldTable.section(), workTable.section(),
		costsTable.section(), pricesTable.section(), defaultsTable.section(),
	}
}

// Reference writes the reference of shop.yaml as Markdown: every key with what
// its value is, its standard and its meaning, from the very tables that Read
// reads by.
func Reference(w io.Writer) error {
	var b strings.Builder
	for i, s := range sections() {
		if i > 0 {
			b.WriteString("\n")
		}
		fmt.Fprintf(&b, "### `%s`\n\n", s.path)
		if s.intro != "" {
			fmt.Fprintf(&b, "%s\n\n", s.intro)
		}
		if s.short != "" {
			fmt.Fprintf(&b, "Short form: %s.\n\n", s.short)
		}
		b.WriteString("| key | value | standard | meaning |\n|---|---|---|---|\n")
		for _, r := range s.rows {
			fmt.Fprintf(&b, "| `%s` | %s, as in `%s` | %s | %s |\n", r.key, r.form, r.such, r.std, r.says)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}
