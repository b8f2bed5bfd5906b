// Command pourweek plans the week of a shop that sprays and casts
// glass-fiber-reinforced concrete: which mold is poured when, which pours share
// a batch, who does it, when it is stripped, where it rests, what leaves late.
//
// How it speaks to the person:
//
//   - stdout is the result and nothing else; everything else goes to stderr.
//   - A terminal gets tables, a pipe gets tab-separated rows, --json one document.
//   - Mistakes in the files are told all at once, each at its place.
//   - A plan that the checker refuses is a bug: it is said, and no plan is printed.
//   - The first Ctrl-C ends a search and gives the best plan so far; the second
//     stops at once.
//   - Nothing is written over but what the same flag wrote before.
package main

import "os"

func main() {
	os.Exit(run(osStreams(), os.Args[1:]))
}
