package main

import (
	"errors"
	"fmt"
	"time"

	"github.com/spf13/pflag"
)

// given says whether the person gave the flag of a name.
type given func(name string) bool

// aboveZero refuses 0 and less where the person gave the flag; what is left at
// 0 stands for the default. due says what is allowed.
func aboveZero[T int64 | time.Duration](is given, name string, v T, due string) error {
	if v > 0 || v == 0 && (is == nil || !is(name)) {
		return nil
	}
	return failf(exitUsage, "--%s %v: %s", name, v, due)
}

// flagError says of a value that cannot be read what is allowed instead; other
// errors of the command line stay as they are.
func flagError(err error) error {
	var bad *pflag.InvalidValueError
	if !errors.As(err, &bad) {
		return err
	}
	due := map[string]string{
		"duration": "a time with its unit is needed, such as 4h or 30m",
		"int64":    "a whole number from 1 to 9223372036854775807 is needed",
		"int":      "a whole number is needed",
		"uint64":   "a whole number from 0 to 18446744073709551615 is needed",
		"bool":     "it stands alone, without a value",
	}[bad.GetFlag().Value.Type()]
	if due == "" {
		return err
	}
	return fmt.Errorf("--%s %q: %s", bad.GetFlag().Name, bad.GetValue(), due)
}
