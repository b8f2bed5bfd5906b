// Package starter holds the commented shop that the command start writes. It is
// invented.
package starter

import (
	"embed"
	"regexp"
	"strconv"
	"time"
)

//go:embed shop.yaml orders.csv floor.csv
var files embed.FS

// Names are the files of a starter shop, in the order in which to read them.
func Names() []string { return []string{"shop.yaml", "orders.csv", "floor.csv"} }

var day = regexp.MustCompile(`MONDAY([+-]\d+)?`)

// File is the content of one of Names, its dates written for the week that
// begins on monday. The error is that of a file that does not exist.
func File(name string, monday time.Time) ([]byte, error) {
	data, err := files.ReadFile(name)
	if err != nil {
		return nil, err
	}
	return day.ReplaceAllFunc(data, func(m []byte) []byte {
		n, _ := strconv.Atoi(string(m[len("MONDAY"):])) // "" is 0
		return []byte(monday.AddDate(0, 0, n).Format(time.DateOnly))
	}), nil
}
