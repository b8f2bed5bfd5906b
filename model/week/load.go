package week

import (
	"errors"
	"io"
	"io/fs"

	"pourweek/model/diag"
	"pourweek/model/orders"
	"pourweek/model/shop"
)

// The files of a shop's folder.
const (
	ShopFile   = "shop.yaml"
	OrdersCSV  = "orders.csv"
	OrdersXLSX = "orders.xlsx"
	FloorFile  = "floor.csv"
)

// maxFile is the size of a file that is read, in bytes.
const maxFile = orders.MaxBytes

// Load reads a shop's folder and compiles the week: shop.yaml, orders.csv or
// orders.xlsx, and floor.csv if there is one. All mistakes of all files are in
// the list; Loaded is nil if there are any.
func Load(fsys fs.FS, o Options) (*Loaded, *diag.List) {
	errs := &diag.List{}
	var s *shop.Shop
	shopBroken := false
	if data, ok := read(fsys, ShopFile, errs); !ok {
		absent(ShopFile, `"pourweek start DIR" writes a starter shop`, errs)
	} else if data != nil {
		var list *diag.List
		s, list = shop.Read(ShopFile, data)
		shopBroken = list.Len() > 0
		errs.Append(list)
	}
	b := readOrders(fsys, errs)
	f := readFloor(fsys, errs)
	if errs.Len() == 0 {
		return Compile(s, b, f, o)
	}
	// What was read may hold more mistakes: they are to be found in the same run.
	switch {
	case s == nil:
	case shopBroken:
		errs.Append(unknownNames(s, b, f))
	default:
		_, list := compile(&compiler{shop: s, partial: true}, b, f, o)
		errs.Append(list)
	}
	return nil, errs
}

// unknownNames finds the names in orders and floor that a shop file with
// mistakes does not have either.
func unknownNames(s *shop.Shop, b *orders.Book, f *orders.Floor) *diag.List {
	w := &compiler{shop: s, errs: &diag.List{}}
	if b != nil && len(s.Pieces) > 0 {
		for i := range b.Rows {
			w.pieceOf(b.Rows[i].Piece)
		}
	}
	if f != nil && len(s.Pieces) > 0 && len(s.Molds) > 0 && len(s.Racks) > 0 {
		for i := range f.Places {
			w.pieceOf(f.Places[i].Piece)
			w.where(&f.Places[i])
		}
	}
	return w.errs
}

func readOrders(fsys fs.FS, errs *diag.List) *orders.Book {
	csv, haveCSV := read(fsys, OrdersCSV, errs)
	xlsx, haveXLSX := read(fsys, OrdersXLSX, errs)
	var name string
	var data []byte
	switch {
	case haveCSV && haveXLSX:
		errs.At(diag.NewSource(OrdersXLSX, nil).At(0, 0), "keep the one that counts in the folder", "there are %s and %s", OrdersCSV, OrdersXLSX)
		return nil
	case haveCSV:
		name, data = OrdersCSV, csv
	case haveXLSX:
		name, data = OrdersXLSX, xlsx
	default:
		absent(OrdersCSV, "save the orders of the week as orders.csv or orders.xlsx", errs)
		return nil
	}
	if data == nil {
		return nil
	}
	b, list := orders.ReadOrders(name, data)
	errs.Append(list)
	return b
}

func readFloor(fsys fs.FS, errs *diag.List) *orders.Floor {
	data, ok := read(fsys, FloorFile, errs)
	if !ok || data == nil {
		return nil
	}
	f, list := orders.ReadFloor(FloorFile, data)
	errs.Append(list)
	return f
}

func absent(name, hint string, errs *diag.List) {
	errs.At(diag.NewSource(name, nil).At(0, 0), hint, "there is no such file")
}

// read is the content of a file, never nil if it could be read. there is false
// if there is no such file; a file that cannot be read is a mistake and gives nil.
func read(fsys fs.FS, name string, errs *diag.List) (data []byte, there bool) {
	at := diag.NewSource(name, nil).At(0, 0)
	f, err := fsys.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, false
	}
	if err != nil {
		errs.At(at, "look at its permissions", "the file cannot be opened: %s", reason(err))
		return nil, true
	}
	defer f.Close()
	data, err = io.ReadAll(io.LimitReader(f, maxFile+1))
	switch {
	case err != nil:
		errs.At(at, "put a file there that can be read", "the file cannot be read: %s", reason(err))
		return nil, true
	case len(data) > maxFile:
		errs.At(at, "keep this week's rows and move the rest to another file", "the file has more than %d bytes", maxFile)
		return nil, true
	case data == nil:
		data = []byte{}
	}
	return data, true
}

// reason is the cause of a file system's error, without the path, which differs
// from system to system.
func reason(err error) string {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err.Error()
	}
	return err.Error()
}
