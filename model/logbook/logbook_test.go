package logbook

import (
	"slices"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"pourweek/model/delim"
)

func known(t *testing.T) *Known {
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	steps := []string{"prep", "face", "backer", "demold", "grind", "polish", "wet polish"}
	return &Known{
		Zone: zone, Monday: time.Date(2027, 3, 1, 0, 0, 0, 0, zone),
		Pours:   []string{"A-104/1", "A-104/2", "B-7/1"},
		Steps:   map[string][]string{"A-104/1": steps, "A-104/2": steps, "B-7/1": steps},
		Finish:  map[string][]string{"A-104/1": steps[4:], "A-104/2": steps[4:], "B-7/1": steps[4:]},
		Batches: []string{"b1", "b2"}, Molds: []string{"M1", "M2"}, Mixers: []string{"drum"},
		People: []string{"kim", "lou"}, Orders: []string{"A-104", "B-7"}, Racks: []string{"long", "short"},
		Pieces: []string{"planter-60", "panel-900"},
		Casts:  map[string][]string{"B-7/1": {"M2"}},
		Asks:   map[string][]string{"A-104": {"planter-60"}, "B-7": {"panel-900", "planter-60"}},
	}
}

func TestParseWritesEntriesOut(t *testing.T) {
	k := known(t)
	for _, c := range []struct{ in, want string }{
		{"Tue 11:00|poured|b-7/1|in M2", "2027-03-02 11:00,poured,B-7/1,in M2\n"},
		{"2027-03-02 11:00|pou|A-104/2|", "2027-03-02 11:00,poured,A-104/2,\n"},
		{"Wed 9:05|longer|A-104/1|wet po 30 min", "2027-03-03 09:05,longer,A-104/1,wet polish 30 min\n"},
		{"Wed 9:05|waiting|A-104/1|wet polish", "2027-03-03 09:05,waiting,A-104/1,wet polish\n"},
		{"tue 11:00|waiting|A-104/1|pol", "2027-03-02 11:00,waiting,A-104/1,polish\n"},
		{"Wed 9:05|failed|B|", "2027-03-03 09:05,failed,B-7/1,\n"},
		{"Wed 9:05|batch-lost|b2|", "2027-03-03 09:05,batch-lost,b2,\n"},
		{"Wed 9:05|scrapped|B|", "2027-03-03 09:05,scrapped,B-7/1,\n"},
		{"Wed 9:05|demolded|B|on short", "2027-03-03 09:05,demolded,B-7/1,on short\n"},
		{"Wed 9:05|finished|B|grind", "2027-03-03 09:05,finished,B-7/1,grind\n"},
		{"Wed 9:05|longer|B|polish 30 min", "2027-03-03 09:05,longer,B-7/1,polish 30 min\n"},
		{"Wed 9:05|mold-down|M1|until Thu 12:00", "2027-03-03 09:05,mold-down,M1,until 2027-03-04 12:00\n"},
		{"Wed 9:05|mixer-down|d|until Wed 12:00", "2027-03-03 09:05,mixer-down,drum,until 2027-03-03 12:00\n"},
		{"Wed 9:05|away|kim|until Fri 16:00", "2027-03-03 09:05,away,kim,until 2027-03-05 16:00\n"},
		{"Wed 16:00|extra|l|until Wed 18:00", "2027-03-03 16:00,extra,lou,until 2027-03-03 18:00\n"},
		{"Wed 9:05|order|C-1|planter 2 due Fri 15:00", "2027-03-03 09:05,order,C-1,planter-60 2 due 2027-03-05 15:00\n"},
		{"Wed 9:05|due|A|Fri 15:00", "2027-03-03 09:05,due,A-104,2027-03-05 15:00\n"},
		{"Wed 9:05|due|A|Mon 15:00", "2027-03-03 09:05,due,A-104,2027-03-08 15:00\n"},
		{"Wed 9:05|quantity|A|6", "2027-03-03 09:05,quantity,A-104,6\n"},
		{"Wed 9:05|quant|B|pl 2", "2027-03-03 09:05,quantity,B-7,planter-60 2\n"},
		{"Wed 9:05|due|A|2027-02-20 15:00", "2027-03-03 09:05,due,A-104,2027-02-20 15:00\n"},
		{"Wed 9:05|cancel|B-7|", "2027-03-03 09:05,cancel,B-7,\n"},
		{"Wed 9:05|air|28 C|until Thu 18:00", "2027-03-03 09:05,air,28 C,until 2027-03-04 18:00\n"},
		{"Wed 9:05|places|lo|2 until Fri 12:00", "2027-03-03 09:05,places,long,2 until 2027-03-05 12:00\n"},
	} {
		e, err := Parse([4]string(strings.Split(c.in, "|")), k)
		if err != nil {
			t.Errorf("%s: %v", c.in, err)
			continue
		}
		if e.Line() != c.want {
			t.Errorf("%s: got %q want %q", c.in, e.Line(), c.want)
		}
		later := *k // the week that knows what the log brought
		later.Orders, later.Logged = append(later.Orders, e.Which), map[string]bool{e.Which: true}
		again, list := Read("log.csv", []byte("when,what,which,detail\n"+e.Line()), &later)
		if list.Len() > 0 || len(again) != 1 || again[0].Line() != c.want || !again[0].When.Equal(e.When) {
			t.Errorf("%s: read again as %v (%v)", c.in, again, list.Err())
		}
	}
}

func TestParseSaysWhatWouldBeRight(t *testing.T) {
	k := known(t)
	for _, c := range []struct{ in, want string }{
		{"noon|poured|A-104/1|", `"noon" is no date and time; write 2027-03-02 11:00, or Tue 11:00`},
		{"Tue 11:00|dropped|A-104/1|", `what "dropped" is no event; events are poured, waiting`},
		{"Tue 11:00|poured|A-104|", `pour "A-104" could be A-104/1, A-104/2; write more of it`},
		{"Tue 11:00|poured|Z|", `pour "Z" is not in the published week; there are A-104/1, A-104/2, B-7/1`},
		{"Tue 11:00|poured|B|in M9", `mold "M9" is not in the published week; there are M1, M2`},
		{"Tue 11:00|finished|B|", `finish step "" is not in the published week; there are grind, polish, wet polish`},
		{"Tue 11:00|longer|B|polish", `detail of longer is "polish"; it takes STEP MINUTES min, such as polish 30 min`},
		{"Tue 11:00|longer|B|polish x min", `"x" is no number of minutes`},
		{"Tue 11:00|away|kim|until Tue 10:00", "it ends at 2027-03-02 10:00, not after its beginning 2027-03-02 11:00"},
		{"Tue 11:00|order|A-104|planter 1 due Fri 9:00", `order "A-104" is there already`},
		{"Tue 11:00|order|C-1|planter due Fri 9:00", "it takes PIECE QUANTITY due TIME"},
		{"Tue 11:00|order|C-1|planter 0 due Fri 9:00", `"0" is no quantity`},
		{"Tue 11:00|places|long|some until Fri 9:00", `"some" is no number of places`},
		{"Tue 11:00|air|warm|until Wed 9:00", `temperature "warm"`},
		{"Tue 11:00|air|500 C|until Wed 9:00", "is none that a shop has"},
		{"Tue 11:00|air|20 C|", `until "" is no date and time`},
		{"Tue 11:00|poured|B|in M1", `mold "M1" does not cast B-7/1; what casts it in the published week is M2`},
		{"Tue 11:00|order|X/3|planter 1 due Fri 9:00", `order "X/3" holds a slash; write X-3, pieces are numbered with a slash`},
		{"Tue 11:00|due|A|2024-03-02 11:00", "2024-03-02 11:00 lies 1095 days before the entry; mend the date"},
		{"Tue 11:00|due|A|2127-03-02 11:00", "is in the year 2127; mend the date, years are 2000 to 2099"},
		{"Tue 11:00|due|A|0001-01-01 00:00", "is in the year 1; mend the date"},
		{"Tue 11:00|order|C-1|planter 1 due 2024-03-02 11:00", "lies 1095 days before the entry"},
		{"Tue 11:00|quantity|A|0", `"0" is no quantity from 1 to 1000; cancel drops a whole order`},
		{"Tue 11:00|quantity|A|", `it takes [PIECE] QUANTITY, such as 6`},
		{"Tue 11:00|quantity|A|panel 2", `piece "panel" is not in the order; there are planter-60`},
		{"Tue 11:00|quantity|B|2", `order "B-7" has several piece types; write of which, such as panel-900 2`},
		{"Tue 11:00|cancel|B-7|please", `cancel takes no detail, and "please" was read`},
	} {
		_, err := Parse([4]string(strings.Split(c.in, "|")), k)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q", c.in, err, c.want)
		}
	}
}

func TestReadListsEveryBadLineAtItsPlace(t *testing.T) {
	data := "\ufeffwhen,what,which,detail\r\n# a note\r\n2027-03-02 11:00,poured,B-7/1\r\n2027-03-02 10:00,failed,nobody,\r\n2027-03-01 9:00,away,kim,until 2027-03-01 10:00\r\nWed 9:00,poured,A-104/1,in,M1\r\nWed 9:00,poured,A-104/1,\r\n"
	out, list := Read("log.csv", []byte(data), known(t))
	if len(out) != 2 || out[0].What != Away {
		t.Errorf("entries %v", out)
	}
	got := list.Error()
	for _, want := range []string{"log.csv:4:25: pour \"nobody\"", "log.csv:6:1: 5 fields where at most 4 are due",
		`log.csv:7:1: when "Wed 9:00" is no date and time`} {
		if !strings.Contains(got, want) {
			t.Errorf("got %s\nwant %s", got, want)
		}
	}
	again := "when,what,which,detail\n2027-03-02 11:00,order,C-1,planter-60 2 due 2027-03-05 15:00\n2027-03-02 11:00,due,C-1,2027-03-05 15:00\n2027-03-02 12:00,order,C-1,planter-60 3 due 2027-03-05 15:00\n"
	if out, list := Read("log.csv", []byte(again), known(t)); len(out) != 2 || !strings.Contains(list.Error(), `log.csv:4:24: order "C-1" is there already`) {
		t.Errorf("an order brought twice: %v, %v", out, list)
	}
	if _, list := Read("log.csv", []byte("time,event\n"), known(t)); !strings.Contains(list.Error(), "begin log.csv with the line when,what,which,detail") {
		t.Errorf("got %s", list.Error())
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte("when,what,which,detail\n2027-03-02 11:00,poured,B-7/1,in M2\n2027-03-03 09:05,places,lo,2 until 2027-03-05 12:00\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		k := known(t)
		out, _ := Read("log.csv", data, k)
		for _, e := range out {
			again, list := Read("log.csv", []byte("when,what,which,detail\n"+e.Line()), k)
			if list.Len() > 0 || len(again) != 1 || again[0].Line() != e.Line() {
				t.Fatalf("%q reads as %v, %v", e.Line(), again, list.Err())
			}
		}
	})
}

// Whatever a spreadsheet makes of log.csv reads as the log that it was.
func TestReadTakesTheFormsOfOrders(t *testing.T) {
	const plain = "when,what,which,detail\n2027-03-02 11:00,poured,B-7/1,\n2027-03-03 09:05,places,long,2 until 2027-03-05 12:00\n"
	want := entries(t, plain)
	semicolons := strings.ReplaceAll(plain, ",", ";")
	for name, data := range map[string]string{
		"byte order mark and CRLF": "\ufeff" + strings.ReplaceAll(semicolons, "\n", "\r\n"),
		"CR":                       strings.ReplaceAll(plain, "\n", "\r"),
		"tabs":                     strings.ReplaceAll(plain, ",", "\t"),
		"sep":                      "sep=;\r\n" + strings.ReplaceAll(semicolons, "\n", "\r\n"),
		"empty rows and cells":     "\n;;;\nwhen;what;which;detail;;\n2027-03-02 11:00;poured;B-7/1;;;\n;;;;\n2027-03-03 09:05;places;long;2 until 2027-03-05 12:00\n",
		"quotes":                   "\"when\";\"what\";\"which\";\"detail\"\n\"2027-03-02 11:00\";\"poured\";\"B-7/1\";\n2027-03-03 09:05;places;long;\"2 until 2027-03-05 12:00\"\n",
		"remark before the header": "# of the shop, since March\n" + semicolons,
	} {
		if got := entries(t, data); !slices.Equal(got, want) {
			t.Errorf("%s: got %q, want %q", name, got, want)
		}
	}
	_, list := Read("log.csv", []byte("when;what;which;detail\n2027-03-02 11:00;poured;nobody;\n"), known(t))
	if !strings.Contains(list.Error(), `log.csv:2:25: pour "nobody"`) {
		t.Errorf("got %s", list.Error())
	}
	_, list = Read("log.csv", []byte("when;what;which;detail\n2027-03-02 11:00;poured;B-7/1;in;M2\n"), known(t))
	if !strings.Contains(list.Error(), "put a detail that holds a semicolon in double quotes") {
		t.Errorf("got %s", list.Error())
	}
}

// entries are those of a log that has no mistake, as lines.
func entries(t *testing.T, data string) (lines []string) {
	t.Helper()
	l, list := Read("log.csv", []byte(data), known(t))
	if list.Len() > 0 {
		t.Errorf("%q: %s", data, list.Error())
	}
	for _, e := range l {
		lines = append(lines, e.Line())
	}
	return lines
}

// A line that is added has the form of the file, and a header before it where
// there is none; nothing may be added to what is no table.
func TestEndSaysHowALineIsAdded(t *testing.T) {
	for _, c := range []struct {
		data string
		form delim.Form
		bare bool
	}{
		{"", delim.Plain, true},
		{"\ufeff", delim.Plain, true},
		{"\r\n\r\n", delim.Form{Comma: ',', End: "\r\n"}, true},
		{"sep=;\r\n", delim.Form{Comma: ';', End: "\r\n"}, true},
		{"when,what,which,detail", delim.Plain, false},
		{"\ufeffwhen;what;which;detail\r\nsome;thing;wrong", delim.Form{Comma: ';', End: "\r\n"}, false},
		{"when\twhat\twhich\tdetail\r", delim.Form{Comma: '\t', End: "\r"}, false},
	} {
		form, bare, list := End("log.csv", []byte(c.data))
		if form != c.form || bare != c.bare || list.Len() > 0 {
			t.Errorf("%q: got %q %v %v, want %q %v", c.data, form, bare, list.Err(), c.form, c.bare)
		}
	}
	for _, data := range []string{"order,piece\n", "when,what,which,detail\n2027-03-02 11:00,poured,\"B-7/1\n", "w\x00h\x00e\x00n\x00", "PK\x03\x04"} {
		if _, _, list := End("log.csv", []byte(data)); list.Len() == 0 {
			t.Errorf("%q: no mistake is told", data)
		}
	}
}
