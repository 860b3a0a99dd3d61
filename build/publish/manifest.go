package publish

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"ripeward/build/cache"
	"ripeward/build/diag"
)

// ManifestName is the file in a site folder that tells what the folder was
// built from and what was written into it.
const ManifestName = "manifest.json"

// Manifest says what a site was built from and what it consists of. It holds
// no clock time, so that the same inputs give the same bytes.
type Manifest struct {
	Tool       string   `json:"tool"`         // always "ripeward"; set by Finish
	Version    string   `json:"tool_version"` // of the program
	DataCutOff string   `json:"data_cut_off"` // last day with data, YYYY-MM-DD
	Unfinished bool     `json:"unfinished,omitempty"`
	Inputs     []Input  `json:"inputs"`
	Outputs    []Output `json:"outputs"` // all files but the manifest itself, sorted; set by Finish
}

// Input is a file that the site was built from. All reports together are one
// input, so that a manifest does not show how many there are.
type Input struct {
	Path   string `json:"path"` // slash path inside the club's folder
	SHA256 string `json:"sha256"`
}

// Output is a file of the site.
type Output struct {
	Path   string `json:"path"` // slash path inside the site's folder
	Size   int64  `json:"size"` // bytes
	SHA256 string `json:"sha256"`
}

const tool = "ripeward"

func (m Manifest) encode() ([]byte, error) {
	m.Tool = tool
	if m.Inputs == nil {
		m.Inputs = []Input{}
	}
	if m.Outputs == nil {
		m.Outputs = []Output{}
	}
	m.Inputs = slices.SortedFunc(slices.Values(m.Inputs), func(a, b Input) int { return cmp.Compare(a.Path, b.Path) })
	m.Outputs = slices.SortedFunc(slices.Values(m.Outputs), func(a, b Output) int { return cmp.Compare(a.Path, b.Path) })
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	err := e.Encode(m)
	return b.Bytes(), err
}

// readManifest reads the manifest of a site folder. ok is false where there is
// none, or one that this program did not write.
func readManifest(dir string) (m Manifest, ok bool, err error) {
	data, err := os.ReadFile(filepath.Join(dir, ManifestName))
	if errors.Is(err, fs.ErrNotExist) {
		return m, false, nil
	}
	if err != nil {
		return m, false, err
	}
	if json.Unmarshal(data, &m) != nil || m.Tool != tool {
		return Manifest{}, false, nil
	}
	return m, true, nil
}

func sum(data []byte) string {
	h := sha256.Sum256(data)
	return hex.EncodeToString(h[:])
}

// ReportsPath is the folder whose files count as one input.
const ReportsPath = "data/reports"

// HashInputs returns the SHA-256 of each file, as hash tells it. Paths are
// slash paths relative to dir. Files below data/reports become one entry: the
// hash over, in sorted order, each one's path and own hash. The result is
// sorted by path.
func HashInputs(dir string, paths []string, hash func(path string) (cache.Sum, error)) ([]Input, error) {
	sorted := slices.Sorted(slices.Values(paths))
	sorted = slices.Compact(sorted)
	inputs := make([]Input, 0, len(sorted))
	reports, any := sha256.New(), false
	for _, p := range sorted {
		sum, err := hash(filepath.Join(dir, filepath.FromSlash(p)))
		if err != nil {
			return nil, trouble(p, "cannot be read for its checksum", "", err)
		}
		h := hex.EncodeToString(sum[:])
		if strings.HasPrefix(p, ReportsPath+"/") {
			fmt.Fprintf(reports, "%d %s %s\n", len(p), p, h)
			any = true
			continue
		}
		inputs = append(inputs, Input{Path: p, SHA256: h})
	}
	if any {
		inputs = append(inputs, Input{Path: ReportsPath, SHA256: hex.EncodeToString(reports.Sum(nil))})
	}
	slices.SortFunc(inputs, func(a, b Input) int { return cmp.Compare(a.Path, b.Path) })
	return inputs, nil
}

// Trouble is a problem with its cause: errors.As finds the diag.Problem with
// its hint, errors.Is the cause.
type Trouble struct {
	diag.Problem
	Cause error
}

// Error prints the place, the message and the cause.
func (t *Trouble) Error() string {
	if t.Cause == nil {
		return t.Problem.Error()
	}
	return t.Problem.Error() + ": " + reason(t.Cause)
}

// Unwrap returns the cause and the bare problem.
func (t *Trouble) Unwrap() []error {
	if t.Cause == nil {
		return []error{t.Problem}
	}
	return []error{t.Problem, t.Cause}
}

// reason drops the path of a path error: the place says it already.
func reason(err error) string {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err.Error()
	}
	var le *os.LinkError
	if errors.As(err, &le) {
		return le.Err.Error()
	}
	return err.Error()
}

func trouble(file, message, hint string, cause error) error {
	return &Trouble{diag.Problem{Place: diag.Place{File: file}, Severity: diag.Error, Message: message, Hint: hint}, cause}
}
