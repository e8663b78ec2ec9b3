package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"slices"

	"github.com/agnivade/levenshtein"
	"github.com/alecthomas/kong"
	"go.yaml.in/yaml/v3"
)

// configLimit is the largest configuration file that is read, in bytes.
const configLimit = 64 << 10

// config is what a configuration file says: settings by the name of their flag.
// It is one level of YAML, "name: value".
type config map[string]setting

// setting is one line of the file.
type setting struct {
	value string
	line  int
}

// readConfig reads a configuration file for a command with these flags. A name
// that is none of them is refused with its line, and with the name it is near to.
func readConfig(path string, flags []*kong.Flag) (config, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("the configuration cannot be read: %w", err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, configLimit+1))
	if err != nil {
		return nil, fmt.Errorf("the configuration cannot be read: %w", err)
	}
	c, err := parseConfig(data, namesOf(flags))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return c, nil
}

func namesOf(flags []*kong.Flag) (names []string) {
	for _, f := range flags {
		if f.Name != "help" && f.Name != "config" && f.Name != "check" && f.Name != "ready" {
			names = append(append(names, f.Name), f.Aliases...)
		}
	}
	return names
}

func parseConfig(data []byte, names []string) (config, error) {
	if len(data) > configLimit {
		return nil, fmt.Errorf("the file is larger than %d bytes, which no configuration is", configLimit)
	}
	var doc yaml.Node
	if err := yaml.Unmarshal(data, &doc); err != nil {
		return nil, fmt.Errorf("not written as lines of \"name: value\" (%w)", err)
	}
	c := config{}
	if len(doc.Content) == 0 { // nothing but comments
		return c, nil
	}
	root := doc.Content[0]
	if root.Kind == yaml.ScalarNode && root.Tag == "!!null" {
		return c, nil
	}
	if root.Kind != yaml.MappingNode {
		return nil, fmt.Errorf("line %d: write one \"name: value\" a line", root.Line)
	}
	for i := 0; i+1 < len(root.Content); i += 2 {
		if err := c.add(root.Content[i], root.Content[i+1], names); err != nil {
			return nil, fmt.Errorf("line %d: %w", root.Content[i].Line, err)
		}
	}
	return c, nil
}

// add takes one line in.
func (c config) add(key, value *yaml.Node, names []string) error {
	name := key.Value
	switch {
	case name == "token" || name == "webhook-secret":
		return fmt.Errorf("a secret does not stand here; put it in a file of its own and name that with %s-file", name)
	case key.Kind != yaml.ScalarNode || !slices.Contains(names, name):
		return unknownName(name, names)
	case value.Kind != yaml.ScalarNode:
		return fmt.Errorf("%s takes one value", name)
	case c[name].line != 0:
		return fmt.Errorf("%s is set in line %d already", name, c[name].line)
	}
	c[name] = setting{value.Value, key.Line}
	return nil
}

// nearEnough is how many letters a name may be off to be taken for a slip.
const nearEnough = 4

func unknownName(name string, names []string) error {
	near, best := "", nearEnough+1
	for _, known := range names {
		if d := levenshtein.ComputeDistance(name, known); d < best && d < len(known)/2+1 {
			near, best = known, d
		}
	}
	if near == "" {
		return fmt.Errorf("there is no setting %q; deepward serve --help lists them", name)
	}
	return fmt.Errorf("there is no setting %q; did you mean %q?", name, near)
}

// Validate is done when the file is read.
func (c config) Validate(*kong.Application) error { return nil }

// Resolve gives a flag its value from the file, unless the environment has one:
// flags win over the environment, the environment over the file.
func (c config) Resolve(_ *kong.Context, _ *kong.Path, flag *kong.Flag) (any, error) {
	for _, env := range flag.Tag.Envs {
		if _, set := os.LookupEnv(env); set {
			return nil, nil
		}
	}
	for _, name := range append([]string{flag.Name}, flag.Aliases...) {
		if s, ok := c[name]; ok {
			return s.value, nil
		}
	}
	return nil, nil
}

// configFlag names the configuration file of a command.
type configFlag struct {
	Config string `help:"A file of settings, \"name: value\" a line, by the names of these flags." type:"path" default:"" env:"DEEPWARD_CONFIG"`
}

// BeforeResolve reads the file, so that its settings stand where neither a flag
// nor the environment has one.
func (configFlag) BeforeResolve(ctx *kong.Context) error {
	flags := ctx.Selected().Flags
	i := slices.IndexFunc(flags, func(f *kong.Flag) bool { return f.Name == "config" })
	if i < 0 {
		return errors.New("this command takes no configuration")
	}
	path, _ := ctx.FlagValue(flags[i]).(string)
	if path == "" {
		return nil
	}
	c, err := readConfig(path, flags)
	if err != nil {
		return usage("%v", err)
	}
	ctx.AddResolver(c)
	return nil
}
