package orders

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"
)

const plain = `order,piece,quantity,due,urgency,not before,ship,truck,note
A-104,planter-60,3,2027-03-05,high,2027-03-01 12:00,whole,yes,"gray, as the sample"
A-105,bench-1,1,4 Mar 2027 3:30 pm,,,,,
`

// values is what a test compares: the values of the rows without their places.
func values(b *Book) []string {
	var out []string
	for _, r := range b.Rows {
		truck := "-"
		if r.Truck.Value != nil {
			truck = fmt.Sprint(*r.Truck.Value)
		}
		nb := "-"
		if !r.NotBefore.Value.IsZero() {
			nb = r.NotBefore.Value.String()
		}
		out = append(out, strings.Join([]string{r.Order.Value, r.Piece.Value, fmt.Sprint(r.Quantity.Value),
			r.Due.Value.String(), r.Urgency.Value, nb, string(r.Ship.Value), truck, r.Note.Value}, "|"))
	}
	return out
}

var plainValues = []string{
	"A-104|planter-60|3|2027-03-05|high|2027-03-01 12:00|whole|true|gray, as the sample",
	"A-105|bench-1|1|2027-03-04 15:30||-||-|",
}

func TestOrdersReadTheSameInEveryDialect(t *testing.T) {
	semicolons := strings.ReplaceAll(strings.ReplaceAll(plain, `"gray, as the sample"`, "gray@ as the sample"), ",", ";")
	semicolons = strings.ReplaceAll(semicolons, "@", ",")
	tabs := strings.ReplaceAll(semicolons, ";", "\t")
	for name, text := range map[string]string{
		"commas":                    plain,
		"semicolons":                semicolons,
		"tabs":                      tabs,
		"byte order mark":           "\ufeff" + plain,
		"CRLF":                      strings.ReplaceAll(plain, "\n", "\r\n"),
		"CR":                        strings.ReplaceAll(plain, "\n", "\r"),
		"a mark, CRLF, semicolons":  "\ufeff" + strings.ReplaceAll(semicolons, "\n", "\r\n"),
		"a line that names the sep": "sep=;\n" + semicolons,
		"empty lines and rows":      "\n,,\n" + strings.ReplaceAll(plain, "\nA", "\n\n , ,\nA"),
		"shouted header":            strings.Replace(plain, "order,piece,quantity,due,urgency,not before", "ORDER,Piece, quantity ,Due,urgency,Not_Before", 1),
	} {
		b, errs := ReadOrders("orders.csv", []byte(text))
		if errs.Len() > 0 || len(b.Notes) > 0 {
			t.Errorf("%s: %v %v", name, errs, b.Notes)
		}
		if d := cmp.Diff(plainValues, values(b)); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}

func TestOrdersColumnsStandInAnyOrder(t *testing.T) {
	text := "due,price,quantity,urgancy,order,piece\n2027-03-05,12.50,2,rush,A-1,bench-1\n"
	b, errs := ReadOrders("orders.csv", []byte(text))
	if errs.Len() > 0 || len(b.Rows) != 1 {
		t.Fatal(errs)
	}
	if d := cmp.Diff([]string{"A-1|bench-1|2|2027-03-05||-||-|"}, values(b)); d != "" {
		t.Error(d)
	}
	want := []string{
		`orders.csv:1:5: column "price" is not known and is left alone`,
		`orders.csv:1:20: column "urgancy" is not known and is left alone (did you mean urgency?)`,
	}
	if d := cmp.Diff(want, b.Notes); d != "" {
		t.Error(d)
	}
}

// book writes a workbook with the rows on a sheet of the given name.
func book(t testing.TB, sheet string, rows [][]any) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	if err := f.SetSheetName("Sheet1", sheet); err != nil {
		t.Fatal(err)
	}
	for i, r := range rows {
		if err := f.SetSheetRow(sheet, fmt.Sprintf("A%d", i+1), &r); err != nil {
			t.Fatal(err)
		}
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestWorkbookReadsAsTheText(t *testing.T) {
	data := book(t, "Orders", [][]any{
		{"order", "piece", "quantity", "due", "urgency", "not before", "ship", "truck", "note"},
		{"A-104", "planter-60", 3, time.Date(2027, 3, 5, 0, 0, 0, 0, time.UTC), "high",
			time.Date(2027, 3, 1, 12, 0, 0, 0, time.UTC), "whole", true, "gray, as the sample"},
		{},
		{"A-105", "bench-1", "1", "4 Mar 2027 3:30 pm"},
	})
	b, errs := ReadOrders("orders.xlsx", data)
	if errs.Len() > 0 {
		t.Fatal(errs)
	}
	if d := cmp.Diff(plainValues, values(b)); d != "" {
		t.Error(d)
	}
	if got := b.Rows[1].Due.At.String(); got != "orders.xlsx:Orders!D4" {
		t.Errorf("place is %s", got)
	}
}

func TestWorkbookMistakesNameTheCell(t *testing.T) {
	data := book(t, "March", [][]any{
		{"order", "piece", "quantity", "due"},
		{"A-104", "planter-60", 1.5, "3/4/27"},
		{"", "planter-60", 1, 12},
	})
	_, errs := ReadOrders("orders.xlsx", data)
	want := `orders.xlsx:March!C2: quantity "1.5" is not a whole number
  hint: write a whole number from 1 to 1000
orders.xlsx:March!D2: due "3/4/27" can be read as 3 Apr 2027 and as 4 Mar 2027
  hint: write 2027-04-03 or 2027-03-04; in a spreadsheet, format the column as yyyy-mm-dd
orders.xlsx:March!A3: order is empty
  hint: give each order a number or a name, such as A-104
orders.xlsx:March!D3: due "12" is no date that can be read
  hint: write the date as 2027-03-04 or 4 Mar 2027, a time after it as 15:30`
	if d := cmp.Diff(want, errs.Error()); d != "" {
		t.Error(d)
	}
}

// A cell that is too long is one mistake, not an empty or misread one besides.
func TestCellTooLongIsToldOnce(t *testing.T) {
	long := strings.Repeat("7", maxCell+1)
	for i, column := range orderColumns.names {
		row := []any{"A-104", "planter-60", 3, "2027-03-05", "high", "2027-03-01", "whole", "yes", "gray"}
		row[i] = long
		data := book(t, "Orders", [][]any{{"order", "piece", "quantity", "due", "urgency", "not before", "ship", "truck", "note"}, row})
		at, _ := excelize.CoordinatesToCellName(i+1, 2)
		want := "orders.xlsx:Orders!" + at + ": the cell has 2001 characters, at most 2000 are allowed\n  hint: shorten it"
		if _, errs := ReadOrders("orders.xlsx", data); errs.Error() != want {
			t.Errorf("%s: got\n%s\nwant\n%s", column, errs.Error(), want)
		}
		text := make([]string, len(row))
		for j := range row {
			text[j] = fmt.Sprint(row[j])
		}
		_, errs := ReadOrders("orders.csv", []byte(strings.Join(orderColumns.names, ",")+"\n"+strings.Join(text, ",")+"\n"))
		if errs.Len() != 1 {
			t.Errorf("%s in text: got\n%s", column, errs.Error())
		}
	}
}

func TestWorkbookSheetAndDateSystem(t *testing.T) {
	f := excelize.NewFile()
	defer f.Close()
	yes := true
	if err := f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &yes}); err != nil {
		t.Fatal(err)
	}
	if _, err := f.NewSheet("orders"); err != nil {
		t.Fatal(err)
	}
	for i, r := range [][]any{{"order", "piece", "quantity", "due"}, {"A-1", "bench-1", 1, 44989.5}} {
		if err := f.SetSheetRow("orders", fmt.Sprintf("A%d", i+1), &r); err != nil {
			t.Fatal(err)
		}
	}
	var w bytes.Buffer
	if err := f.Write(&w); err != nil {
		t.Fatal(err)
	}
	b, errs := ReadOrders("orders.xlsx", w.Bytes())
	if errs.Len() > 0 || len(b.Rows) != 1 {
		t.Fatal(errs)
	}
	// Day 44989 after 1904-01-01 is 2027-03-05: 46451 - 1462, the known
	// difference of the two date systems in days.
	if got := b.Rows[0].Due.Value.String(); got != "2027-03-05 12:00" {
		t.Errorf("due is %s", got)
	}
	if len(b.Notes) != 1 || !strings.Contains(b.Notes[0], `sheet "orders" was read`) {
		t.Errorf("notes are %q", b.Notes)
	}
}

func TestMomentsThatCannotBeMisread(t *testing.T) {
	for text, want := range map[string]string{
		"2027-03-04": "2027-03-04", "2027/3/4": "2027-03-04", "2027.03.04": "2027-03-04",
		"4 Mar 2027": "2027-03-04", "4-Mar-27": "2027-03-04", "04 march 2027": "2027-03-04",
		"Mar 4, 2027": "2027-03-04", "March 4 2027": "2027-03-04", "4th March 2027": "2027-03-04",
		"Thu 4 Mar 2027": "2027-03-04", "Thursday, March 4, 2027": "2027-03-04",
		"13/4/27": "2027-04-13", "4/13/27": "2027-04-13", "4/4/27": "2027-04-04", "13.4.2027": "2027-04-13",
		"27/4/27": "2027-04-27", "27/02/30": "2030-02-27", "28/4/2027": "2027-04-28", // no other reading
		"29 Feb 2028":             "2028-02-29",
		"2027-03-04 15:30":        "2027-03-04 15:30",
		"2027-03-04T15:30":        "2027-03-04 15:30",
		"2027-03-04T15:30:00":     "2027-03-04 15:30",
		"2027-03-04 7:05":         "2027-03-04 07:05",
		"2027-03-04 00:00":        "2027-03-04 00:00",
		"2027-03-04 00:00:00":     "2027-03-04", // as a date cell reads
		"2027-03-04T00:00:00.000": "2027-03-04",
		"2027-03-04 00:00:01":     "2027-03-04 00:00:01",
		"4 Mar 2027, 3 pm":        "2027-03-04 15:00",
		"4 Mar 2027 12:00 AM":     "2027-03-04 00:00",
		"4 Mar 2027 12:10 PM":     "2027-03-04 12:10",
		"Mar 4, 2027 3:30pm":      "2027-03-04 15:30",
		"2027-03-04 15:30:20":     "2027-03-04 15:30:20",
		"4/13/2027 12:00:00 AM":   "2027-04-13",
		"4/13/2027 12:00:00 PM":   "2027-04-13 12:00",
		"4/13/27 3:30 p.m.":       "2027-04-13 15:30",
	} {
		m, err := ParseMoment(text)
		if err != nil {
			t.Errorf("%q: %v", text, *err)
		} else if m.String() != want {
			t.Errorf("%q is %s, want %s", text, m, want)
		}
	}
}

func TestMomentsThatAreMistakes(t *testing.T) {
	for text, want := range map[string]string{
		"3/4/27":                "can be read as 3 Apr 2027 and as 4 Mar 2027",
		"03.04.2027":            "can be read as 3 Apr 2027 and as 4 Mar 2027",
		"12-11-2027":            "can be read as 12 Nov 2027 and as 11 Dec 2027",
		"3/4/27 15:30":          "can be read as 3 Apr 2027 and as 4 Mar 2027",
		"27/03/04":              "can be read as 27 Mar 2004 and as 4 Mar 2027",
		"28-4-27":               "can be read as 28 Apr 2027 and as 27 Apr 2028",
		"28.4.27 15:30":         "can be read as 28 Apr 2027 and as 27 Apr 2028",
		"13/13/27":              "has the month 13, months are 1 to 12",
		"2027-02-29":            "is no day: February 2027 has the days 1 to 28",
		"31/4/27":               "is no day: April 2027 has the days 1 to 30",
		"2127-03-04":            "is in the year 2127, years are 2000 to 2099",
		"Fri 4 Mar 2027":        "is said to be a Friday, and 2027-03-04 is a Thursday",
		"2027-03-04 24:00":      "holds no time of day that there is",
		"2027-03-04 13:00 pm":   "holds no time of day that there is",
		"2027-03-04 12:60":      "holds no time of day that there is",
		"2027-03-04 15":         "is no date that can be read",
		"Friday":                "is no date that can be read",
		"4 Mar":                 "has no year",
		"Mar 4":                 "has no year",
		"29 Feb":                "has no year",
		"3/4":                   "is no date that can be read",
		"2027-03/04":            "is no date that can be read",
		"20270304":              "is no date that can be read",
		"46451":                 "is the day number of a spreadsheet",
		"46451.5":               "is the day number of a spreadsheet",
		"86451":                 "is no date that can be read",
		"15:30":                 "is no date that can be read",
		"tomorrow":              "is no date that can be read",
		"4 Mai 2027 und weiter": "is no date that can be read",
	} {
		m, err := ParseMoment(text)
		if err == nil {
			t.Errorf("%q is read as %s", text, m)
		} else if err.Text != want {
			t.Errorf("%q: %s, want %s", text, err.Text, want)
		}
	}
}

func TestFloorRows(t *testing.T) {
	text := "piece,order,where,due,since,next,ready,urgency,note\n" +
		"planter-60,A-099,M7,2027-03-03,2027-02-26 14:10,,,,\n" +
		"bench-1,A-098,rack-1,,2027-02-26 09:00,seal,2027-03-01 10:00,Rush,tall\n"
	f, errs := ReadFloor("floor.csv", []byte(text))
	if errs.Len() > 0 || len(f.Places) != 2 {
		t.Fatal(errs)
	}
	p, q := f.Places[0], f.Places[1]
	if p.Where.Value != "M7" || p.Since.Value.String() != "2027-02-26 14:10" || p.Next.Value != "" || !p.Ready.Value.IsZero() {
		t.Errorf("got %+v", p)
	}
	if q.Next.Value != "seal" || q.Urgency.Value != "rush" || q.Ready.Value.String() != "2027-03-01 10:00" || q.Note.Value != "tall" {
		t.Errorf("got %+v", q)
	}
	if f, errs := ReadFloor("floor.csv", []byte("piece,order,where\n")); errs.Len() > 0 || len(f.Places) != 0 {
		t.Errorf("an empty floor is allowed: %v", errs)
	}
}

func TestLimits(t *testing.T) {
	big := bytes.Repeat([]byte("x"), MaxBytes+1)
	if _, errs := ReadOrders("orders.csv", big); errs.Len() != 1 {
		t.Error(errs)
	}
	var b strings.Builder
	b.WriteString("order,piece,quantity,due\n")
	for range maxRows + 1 {
		b.WriteString("A-1,bench-1,1,2027-03-05\n")
	}
	got, errs := ReadOrders("orders.csv", []byte(b.String()))
	if errs.Len() != 1 || len(got.Rows) != maxRows {
		t.Errorf("%d rows, %v", len(got.Rows), errs)
	}
	if _, errs := ReadOrders("orders.csv", []byte(strings.Repeat(",", maxColumns)+"\n")); errs.Len() != 1 {
		t.Error(errs)
	}
}

func TestWorkbookThatIsNone(t *testing.T) {
	good := book(t, "Orders", [][]any{{"order", "piece", "quantity", "due"}, {"A-1", "bench-1", 1, "2027-03-05"}})
	for name, data := range map[string][]byte{
		"empty": nil, "text": []byte("order,piece"), "cut": good[:len(good)/2], "header": good[:30],
	} {
		b, errs := ReadOrders("orders.xlsx", data)
		if errs.Len() != 1 || len(b.Rows) != 0 {
			t.Errorf("%s: %v", name, errs)
		}
	}
	if _, errs := ReadOrders("orders.csv", good); !strings.Contains(errs.Error(), "a workbook and not text") {
		t.Error(errs)
	}
}
