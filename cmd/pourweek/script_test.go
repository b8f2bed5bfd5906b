package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "rewrite the expected output in testdata")

// today is the day on which the scripts run: a Monday, the first of the demo
// week.
var today = time.Date(2027, 3, 1, 6, 30, 0, 0, time.UTC)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"pourweek": func() {
			s := osStreams()
			s.now = func() time.Time { return today }
			os.Exit(run(s, os.Args[1:]))
		},
	})
}

// TestScripts runs every script in testdata/script; each tells in its first
// line what it holds the program to. In them $GOLDEN is the folder of files that
// other tests share, and code N CMD... runs a command that must exit with N.
func TestScripts(t *testing.T) {
	golden, err := filepath.Abs("../../testdata/golden")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:           "../../testdata/script",
		UpdateScripts: *update,
		Setup: func(env *testscript.Env) error {
			env.Setenv("GOLDEN", golden)
			env.Setenv("LC_ALL", "C")
			env.Setenv("TZ", "UTC")
			return nil
		},
		Condition: func(cond string) (bool, error) {
			if cond == "root" { // whom no permission holds back
				return os.Geteuid() == 0, nil
			}
			return false, fmt.Errorf("unknown condition %q", cond)
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"code": exitsWith,
		},
	})
}
