package main

import (
	"errors"
	"flag"
	"fmt"
	"strings"

	"ripeward/build/club"
)

const completionDetails = `The script completes commands, flags and their values, and for explain the ids
of the club's towns, cultivars and methods. It asks ripeward, which must be
found by its name.
`

var completionExamples = []string{
	"source <(ripeward completion bash)                                       bash, in ~/.bashrc",
	"source <(ripeward completion zsh)                                        zsh, in ~/.zshrc after compinit",
	"ripeward completion fish > ~/.config/fish/completions/ripeward.fish      fish",
}

// shells are those that there is a script for.
var shells = []string{"bash", "zsh", "fish"}

func (a *app) completion(names []string) int {
	if len(names) != 1 {
		return a.misused(errors.New("completion needs the name of a shell"), strings.Join(shells, ", "))
	}
	script, ok := completionScripts[names[0]]
	if !ok {
		return a.misused(fmt.Errorf("no script for the shell %q", names[0]), didYouMean(names[0], shells, strings.Join(shells, ", ")))
	}
	return a.print(script)
}

// Lines that tell the shell to offer its own.
const (
	foldersLine = ":folders"
	filesLine   = ":files"
)

// candidate is what a word can become, with a word about it for shells that
// show one.
type candidate struct{ text, about string }

// candidates lists, a line each, what the last of words can become. It says
// nothing of what stands in its way: a shell would print it into the line that
// is being typed.
func (a *app) candidates(words []string) int {
	var b strings.Builder
	for _, c := range a.complete(words) {
		b.WriteString(c.text)
		if c.about != "" {
			b.WriteString("\t" + oneLine(c.about))
		}
		b.WriteByte('\n')
	}
	return a.print(b.String())
}

// complete returns what the last of words, which may be empty, can become.
func (a *app) complete(words []string) []candidate {
	words = withoutEquals(words)
	if len(words) == 0 {
		words = []string{""}
	}
	l := a.readLine(words[:len(words)-1])
	last := words[len(words)-1]
	head := ""
	var offers []candidate
	name, value, hasValue := strings.Cut(last, "=")
	switch {
	case l.waiting != nil:
		offers = l.values(l.waiting)
	case isFlag(last) && hasValue && !l.namesOnly:
		if f := l.flags.Lookup(strings.TrimLeft(name, "-")); f != nil {
			offers, head, last = l.values(f), name+"=", value
		}
	case strings.HasPrefix(last, "-") && !l.namesOnly:
		offers = l.flagNames()
	default:
		offers = a.names(l)
	}
	var out []candidate
	for _, c := range offers {
		if c.text == foldersLine || c.text == filesLine {
			out = append(out, c)
		} else if strings.HasPrefix(c.text, last) {
			out = append(out, candidate{head + c.text, c.about})
		}
	}
	return out
}

// withoutEquals puts together what a shell took apart: bash makes three words
// of --format=json.
func withoutEquals(words []string) []string {
	var out []string
	for i, w := range words {
		if w == "=" && i > 0 && isFlag(words[i-1]) {
			if i == len(words)-1 {
				out = append(out, "")
			}
			continue
		}
		out = append(out, w)
	}
	return out
}

// line is what was typed before the word in question.
type line struct {
	command   command
	flags     *flagSet
	waiting   *flag.Flag // needs its value now
	count     int        // names given after the command
	namesOnly bool       // after "--"
}

// readLine reads words as run does, but takes no offence.
func (a *app) readLine(words []string) *line {
	l := &line{flags: newFlagSet(nil, &a.options)}
	for _, w := range words {
		switch {
		case l.waiting != nil:
			_ = l.waiting.Value.Set(w)
			l.waiting = nil
		case w == "--" && l.command.name != "":
			l.namesOnly = true
		case isFlag(w) && !l.namesOnly:
			name, value, hasValue := strings.Cut(strings.TrimLeft(w, "-"), "=")
			f := l.flags.Lookup(name)
			switch {
			case f == nil || takesNone(f):
			case hasValue:
				_ = f.Value.Set(value)
			default:
				l.waiting = f
			}
		case l.command.name == "":
			if c, ok := find(w); ok {
				l.command, l.flags = c, newFlagSet(&c, &a.options)
			} else {
				l.command.name = w
			}
		default:
			l.count++
		}
	}
	return l
}

// takesNone tells a flag that stands alone.
func takesNone(f *flag.Flag) bool {
	b, ok := f.Value.(interface{ IsBoolFlag() bool })
	return ok && b.IsBoolFlag()
}

// values lists what a flag can be set to.
func (l *line) values(f *flag.Flag) []candidate {
	if choices, ok := l.flags.choices[f.Name]; ok {
		return plainly(strings.Split(choices, "|"))
	}
	switch value, _ := l.flags.usageOf(f); value {
	case "DIR":
		return []candidate{{text: foldersLine}}
	case "FILE":
		return []candidate{{text: filesLine}}
	}
	return nil
}

func (l *line) flagNames() []candidate {
	var out []candidate
	l.flags.VisitAll(func(f *flag.Flag) {
		if f.Usage != "" {
			_, words := l.flags.usageOf(f)
			out = append(out, candidate{"--" + f.Name, words})
		}
	})
	return out
}

// names lists what the next name of the line can be.
func (a *app) names(l *line) []candidate {
	switch l.command.name {
	case "":
		return commandCandidates()
	case "help":
		if l.count == 0 {
			return commandCandidates()
		}
	case "completion":
		if l.count == 0 {
			return plainly(shells)
		}
	case "begin":
		if l.count == 0 {
			return []candidate{{text: foldersLine}}
		}
	case "season":
		return []candidate{{text: filesLine}}
	case "explain":
		return a.rowNames(l.count)
	}
	return nil
}

// rowNames lists the ids that explain can be asked for at a place: towns,
// cultivars, then methods.
func (a *app) rowNames(at int) []candidate {
	if at > 2 {
		return nil
	}
	c, _, err := club.Load(a.club, club.Options{})
	if err != nil || c == nil {
		return nil
	}
	var out []candidate
	for _, r := range [](func(*club.Club) []called){callTowns, callCultivars, callMethods}[at](c) {
		about := ""
		if len(r.names) > 0 {
			about = r.names[0]
		}
		out = append(out, candidate{r.id, about})
	}
	return out
}

func commandCandidates() []candidate {
	var out []candidate
	for _, c := range commands() {
		if !c.hidden {
			out = append(out, candidate{c.name, c.summary})
		}
	}
	return out
}

func plainly(texts []string) []candidate {
	var out []candidate
	for _, t := range texts {
		out = append(out, candidate{text: t})
	}
	return out
}
