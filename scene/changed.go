package scene

import (
	"encoding/json"
	"os"
	"path/filepath"
)

// RecordFile is the name of the record in a map folder.
const RecordFile = "record.json"

// Changed names the files of the cell folder dir that are not, or no longer,
// what the map in folder was made from; none where that has no record that can
// be read. A file of the same length that was not written since the record
// passes for the same; others are read.
func Changed(dir, folder string) (files []string) {
	path := filepath.Join(folder, RecordFile)
	made, err := os.Stat(path)
	if err != nil {
		return nil
	}
	text, err := os.ReadFile(path)
	var r Record
	if err != nil || json.Unmarshal(text, &r) != nil {
		return nil
	}
	for _, was := range r.Inputs {
		file := filepath.FromSlash(was.File)
		if !filepath.IsAbs(file) {
			file = filepath.Join(dir, file)
		}
		info, err := os.Stat(file)
		if err == nil && info.Size() == was.Bytes && !info.ModTime().After(made.ModTime()) {
			continue
		}
		if now, err := hashOf(file); err != nil || now.SHA256 != was.SHA256 {
			files = append(files, was.File)
		}
	}
	return files
}
