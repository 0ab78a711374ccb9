package config

import (
	"bytes"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"sync"

	"github.com/spf13/pflag"
	"github.com/spf13/viper"
)

// envPrefix begins every environment variable of ours.
const envPrefix = "BLOOMTIDE_"

// Options say where settings come from. A zero field is a source without
// anything in it.
type Options struct {
	File    string         // name of the configuration file, for messages
	Content []byte         // what stands in it, YAML
	Environ []string       // environment as NAME=value
	Flags   *pflag.FlagSet // only flags that were given count
}

// Load returns the settings: flags given, over environment (BLOOMTIDE_LAT,
// BLOOMTIDE_HIVE_SUPER), over file, over defaults. The error is a *UsageError
// that names where the bad setting stands.
func Load(o Options) (Settings, error) {
	s := fresh()
	if !o.anything() {
		return s, nil
	}
	l := &layers{o: o, v: viper.New(), from: map[string]string{}}
	if err := l.read(&s); err != nil {
		return Settings{}, err
	}
	if err := l.check(&s); err != nil {
		return Settings{}, err
	}
	if o.Content != nil {
		s.SourceFile = o.File
	}
	return s, nil
}

// layers puts the sources on top of each other and remembers which one each
// key came from.
type layers struct {
	o     Options
	v     *viper.Viper
	known []string          // every key, sorted
	from  map[string]string // key to the flag or variable that set it
}

// anything reports whether some source may have something in it.
func (o Options) anything() bool {
	given := o.Content != nil || slices.ContainsFunc(o.Environ, func(pair string) bool { return strings.HasPrefix(pair, envPrefix) })
	if o.Flags != nil && !given {
		keys := flagKeys()
		o.Flags.Visit(func(f *pflag.Flag) { given = given || keys[f.Name] != "" })
	}
	return given
}

// read puts what the sources have over the defaults.
func (l *layers) read(s *Settings) error {
	l.v.SetConfigType("yaml")
	l.known = slices.Sorted(maps.Keys(defaults()))
	for _, step := range []func() error{l.readFile, l.readEnviron, l.readFlags, l.checkKinds} {
		if err := step(); err != nil {
			return err
		}
	}
	if err := l.v.UnmarshalExact(s, viper.DecodeHook(decodeHook)); err != nil {
		return l.decodeError(err)
	}
	if at := l.v.Get("issue"); at != nil {
		text, isText := at.(string)
		s.IssueGiven = !isText || fold(text) != "" && fold(text) != "today"
	}
	return nil
}

func (l *layers) readFile() error {
	if l.o.Content == nil {
		return nil
	}
	content := bytes.TrimPrefix(l.o.Content, []byte("\ufeff"))
	if err := l.v.ReadConfig(bytes.NewReader(content)); err != nil {
		return l.notYAML(err)
	}
	// UnmarshalExact does not see a misspelt key that has no value.
	for _, k := range slices.Sorted(slices.Values(l.v.AllKeys())) {
		if !slices.Contains(l.known, k) {
			return l.unknownKey(k)
		}
	}
	return nil
}

// yamlLine finds the line in the parser's message.
var yamlLine = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`line (\d+): `) })

// notYAML says where the file cannot be read at all.
func (l *layers) notYAML(err error) error {
	what := strings.Join(strings.Fields(err.Error()), " ")
	for _, lead := range []string{"While parsing config: ", "yaml: ", "unmarshal errors: "} {
		what = strings.TrimPrefix(what, lead)
	}
	where := l.o.File
	if m := yamlLine().FindStringSubmatch(what); m != nil {
		where += ":" + m[1]
		what = strings.Replace(what, m[0], "", 1)
	}
	return &UsageError{Where: where, What: "not valid YAML: " + what,
		Mend: "write each setting once, as name: value, without tabs; `bloomtide init` writes an example"}
}

// unknownKey explains a key of the file that does not exist.
func (l *layers) unknownKey(k string) error {
	e := &UsageError{Where: l.fileLine(k), What: fmt.Sprintf("unknown setting %q", k), Mend: didYouMean(k, l.known)}
	section, _, nested := strings.Cut(k, ".")
	var inside []string
	for _, known := range l.known {
		if strings.HasPrefix(known, k+".") {
			inside = append(inside, strings.TrimPrefix(known, k+"."))
		}
	}
	switch {
	case len(inside) > 0:
		e.What = fmt.Sprintf("%q has no value of its own", k)
		e.Mend = "put its settings on indented lines below: " + strings.Join(inside, ", ")
	case nested && section == "stands":
		e.What, e.Mend = "stands is not a list", `begin each stand with "- plant:"`
	case nested && slices.Contains(l.known, section):
		e.What, e.Mend = fmt.Sprintf("%q takes one value, not settings below it", section), "write "+section+": value"
	case e.Mend == "":
		e.Mend = "the settings are " + strings.Join(l.known, ", ")
	}
	return e
}

// readEnviron puts the environment over the file. Empty variables count as
// not set.
func (l *layers) readEnviron() error {
	keys := map[string]string{}
	for _, k := range l.known {
		keys[envName(k)] = k
	}
	for _, pair := range l.o.Environ {
		name, value, _ := strings.Cut(pair, "=")
		if !strings.HasPrefix(name, envPrefix) || value == "" || name == envPrefix+"CONFIG" {
			continue
		}
		k, ok := keys[name]
		if !ok {
			return l.unknownVariable(name)
		}
		l.from[k] = name
		switch k {
		case "stands":
			return &UsageError{Where: name, What: "stands do not fit into a variable", Mend: "list them in the configuration file"}
		case "weather":
			l.v.Set(k, strings.Split(value, ","))
		default:
			l.v.Set(k, value)
		}
	}
	return nil
}

func (l *layers) unknownVariable(name string) error {
	var short []string
	for _, k := range l.known {
		short = append(short, strings.TrimPrefix(envName(k), envPrefix))
	}
	mend := suggest(nearest(strings.TrimPrefix(name, envPrefix), short), envPrefix)
	if mend == "" {
		mend = "unset it, or use one of these after " + envPrefix + ": " + strings.Join(short, ", ")
	}
	return &UsageError{Where: name, What: "no such setting", Mend: mend}
}

// envName returns the variable of a key: hive.super is BLOOMTIDE_HIVE_SUPER.
func envName(key string) string {
	return envPrefix + strings.ToUpper(strings.ReplaceAll(key, ".", "_"))
}

// readFlags puts the flags that were given over all else.
func (l *layers) readFlags() error {
	if l.o.Flags == nil {
		return nil
	}
	keys := flagKeys()
	l.o.Flags.Visit(func(f *pflag.Flag) {
		k, ok := keys[f.Name]
		if !ok {
			return
		}
		l.from[k] = "--" + f.Name
		if list, ok := f.Value.(pflag.SliceValue); ok {
			l.v.Set(k, list.GetSlice())
			return
		}
		l.v.Set(k, f.Value.String())
	})
	return nil
}

// where tells the keeper where a key was set.
func (l *layers) where(key string) string {
	if from, ok := l.from[key]; ok {
		return from
	}
	if l.o.Content == nil || !l.v.InConfig(strings.Split(key, ".")[0]) {
		return key
	}
	return l.fileLine(key)
}

// fileLine returns file:line: key, without the line where the key is not
// found as it is usually written.
func (l *layers) fileLine(key string) string {
	if at := lineOf(l.lines(), key); at > 0 {
		return fmt.Sprintf("%s:%d: %s", l.o.File, at, key)
	}
	return l.o.File + ": " + key
}

// standLine returns file:line: stands, of the stand with an index from 0.
func (l *layers) standLine(i int) string {
	lines := l.lines()
	for at := lineOf(lines, "stands"); at > 0 && at < len(lines); at++ {
		if strings.HasPrefix(strings.TrimSpace(lines[at]), "-") {
			if i--; i < 0 {
				return fmt.Sprintf("%s:%d: stands", l.o.File, at+1)
			}
		}
	}
	return l.o.File + ": stands"
}

func (l *layers) lines() []string { return strings.Split(string(l.o.Content), "\n") }

// lineOf returns the line, from 1, on which a dotted key stands, or else its
// section; 0 where neither is found.
func lineOf(lines []string, key string) (at int) {
	parts := strings.Split(key, ".")
	for i, line := range lines {
		name, _, found := strings.Cut(strings.TrimLeft(line, " -"), ":")
		if !found || !strings.EqualFold(strings.Trim(strings.TrimSpace(name), `"'`), parts[0]) {
			continue
		}
		at = i + 1
		if parts = parts[1:]; len(parts) == 0 {
			break
		}
	}
	return at
}
