package report

import (
	"encoding/json"
	"io"
)

// WriteJSON writes the board as one document (BoardFormat). It holds all that
// any view shows; lists are never null.
func WriteJSON(w io.Writer, b *Board) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	return e.Encode(b)
}
