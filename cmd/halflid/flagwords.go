package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/pflag"
)

// flagWords returns what a painter should read where a flag could not be
// understood: err is what the parser of flags said.
func flagWords(flags *pflag.FlagSet, err error) error {
	var unknown *pflag.NotExistError
	var bare *pflag.ValueRequiredError
	var invalid *pflag.InvalidValueError
	switch {
	case errors.As(err, &unknown):
		return unknownFlag(flags, unknown)
	case errors.As(err, &bare):
		_, usage := pflag.UnquoteUsage(bare.GetFlag()) // without the marks around what stands for it
		return fmt.Errorf("--%s has nothing after it; it is: %s", bare.GetFlag().Name, usage)
	case errors.As(err, &invalid):
		return wrongValue(invalid)
	}
	return err
}

func unknownFlag(flags *pflag.FlagSet, err *pflag.NotExistError) error {
	name := err.GetSpecifiedName()
	if letters := err.GetSpecifiedShortnames(); letters != "" {
		return fmt.Errorf("there is no flag -%s (a file whose name begins with - is written ./-%s)", name, letters)
	}
	close := ""
	flags.VisitAll(func(f *pflag.Flag) {
		if close == "" && near(name, f.Name) {
			close = f.Name
		}
	})
	if close != "" {
		return fmt.Errorf("there is no flag --%s: did you mean --%s?", name, close)
	}
	return fmt.Errorf("there is no flag --%s", name)
}

func wrongValue(err *pflag.InvalidValueError) error {
	flag, value := "--"+err.GetFlag().Name, err.GetValue()
	if errors.Is(err, strconv.ErrRange) {
		return fmt.Errorf("%s %s: the number is far too large", flag, shortened(value))
	}
	switch err.GetFlag().Value.Type() {
	case "bool":
		return fmt.Errorf("%s stands alone: leave out %q", flag, shortened(value))
	case "float64":
		return fmt.Errorf("%s %q is not a number: write it with a point and without a unit, such as 1.5", flag, shortened(value))
	case "intSlice":
		return fmt.Errorf("%s %q is not a list of whole numbers: write one, or several such as 1,3", flag, shortened(value))
	}
	return fmt.Errorf("%s %q is not a whole number: write one such as 3", flag, shortened(value))
}

// shortened keeps the beginning of what was typed, enough to know it by.
func shortened(s string) string {
	if r := []rune(s); len(r) > 40 {
		return strings.TrimSpace(string(r[:40])) + "..."
	}
	return s
}
