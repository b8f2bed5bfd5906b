// Package demo holds the built-in shop and its week of 2027-03-01, which plan
// --demo plans. All of it is invented.
package demo

import "embed"

// Files are shop.yaml, orders.csv and floor.csv.
//
//go:embed shop.yaml orders.csv floor.csv
var Files embed.FS

// Monday is the first day of the demo week.
const Monday = "2027-03-01"
