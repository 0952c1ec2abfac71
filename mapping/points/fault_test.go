package points

import (
	"errors"
	"strings"
	"testing"

	"cellwall/mapping/fault"
)

// Each file is wrong in one way; the message must hold the words.
func TestFaultsSayWhatIsWrong(t *testing.T) {
	ply := "ply\nformat ascii 1.0\nelement vertex 2\nproperty float x\nproperty float y\nproperty float z\nend_header\n"
	bin := strings.Replace(ply, "ascii", "binary_little_endian", 1)
	pcd := "VERSION 0.7\nFIELDS x y z\nSIZE 4 4 4\nTYPE F F F\nCOUNT 1 1 1\nWIDTH 2\nHEIGHT 1\nPOINTS 2\nDATA ascii\n"
	change := func(in, old, new string) string { return strings.Replace(in, old, new, 1) }
	for _, c := range []struct{ name, content, words string }{
		{"a.ply", "", "a.ply: it is empty"},
		{"a.ply", "solid part\n", "does not begin with the line ply"},
		{"a.ply", "ply\nformat ascii 1.0\n", "ends within its header"},
		{"a.ply", change(ply, "format ascii 1.0\n", ""), "no format"},
		{"a.ply", change(ply, "1.0", "2.0"), `a.ply:2: PLY "2.0" is not known`},
		{"a.ply", change(ply, "ascii", "binary_middle_endian"), `format "binary_middle_endian" is not known; write it as`},
		{"a.ply", change(ply, "vertex", "corner"), "no element vertex"},
		{"a.ply", change(ply, "vertex 2", "vertex 0"), "holds no points"},
		{"a.ply", change(ply, "vertex 2", "vertex -2"), `a.ply:3: "-2" is not a count`},
		{"a.ply", change(ply, "vertex 2", "vertex 99999999999999999999"), "is not a count"},
		{"a.ply", change(ply, "float z", "float w"), `no column z among "x", "y", "w"`},
		{"a.ply", change(ply, "float z", "float x"), `two columns "x"`},
		{"a.ply", change(ply, "float z", "complex z"), `a.ply:6: "complex" is not a type`},
		{"a.ply", change(ply, "float z", "list float int z"), `"float" is not the type of a count`},
		{"a.ply", change(ply, "float z", "list uchar int z"), "no column z"},
		{"a.ply", ply + "1 2 3\n", "the file ends after 1 of the 2 points"},
		{"a.ply", ply + "1 2 3\n4 5\n", `a.ply:9: "z" is missing`},
		{"a.ply", ply + "1 2 3\n4 5 6 7\n", "a.ply:9: the line has more than 3 columns"},
		{"a.ply", ply + "1 2 3\n4 five 6\n", `a.ply:9: y: "five" is not a number`},
		{"a.ply", ply + "1 2 3\n4 5 6\n7 8 9\n", "a.ply:10: more lines follow the 2 points"},
		{"a.ply", change(bin, "2", "4294967295") + strings.Repeat("0123456789ab", 5), "byte 184: the file ends after 5 of the 4294967295 points"},
		{"a.ply", bin + strings.Repeat("0123456789ab", 3), "12 bytes follow the 2 points"},
		{"a.ply", change(bin, "element vertex", "element face 4294967295\nproperty list uint double i\nelement vertex") + "\xff\xff\xff\xff", `ends within the element "face"`},
		{"a.ply", change(bin, "element vertex", "element face 1\nproperty list char double i\nelement vertex") + "\xff\xff\xff\xff", "has the count -1"},
		{"a.pcd", "garbage\n", `"garbage" is no line of a PCD header`},
		{"a.pcd", "VERSION 0.7\n", "there is no line DATA"},
		{"a.pcd", change(pcd, "0.7", "0.5"), `PCD "0.5" is not known`},
		{"a.pcd", change(pcd, "HEIGHT 1\n", ""), "no line HEIGHT"},
		{"a.pcd", change(pcd, "HEIGHT 1", "HEIGHT 3"), "WIDTH 2 times HEIGHT 3 is not POINTS 2"},
		{"a.pcd", change(change(pcd, "WIDTH 2", "WIDTH 0"), "POINTS 2", "POINTS 0"), "holds no points"},
		{"a.pcd", change(pcd, "SIZE 4 4 4", "SIZE 4 4"), "SIZE has 2 values for 3 FIELDS"},
		{"a.pcd", change(pcd, "TYPE F F F", "TYPE F F Q"), `the field "z" of TYPE "Q"`},
		{"a.pcd", change(pcd, "COUNT 1 1 1", "COUNT 1 1 2"), `the field "z" has 2 values`},
		{"a.pcd", change(pcd, "FIELDS x y z", "FIELDS x y\nFIELDS x y z"), "FIELDS stands twice"},
		{"a.pcd", change(pcd, "DATA ascii", "DATA zip"), `DATA "zip" is not known`},
		{"a.pcd", pcd + "1 2 3\n", "after 1 of the 2 points"},
		{"a.pcd", change(pcd, "DATA ascii", "DATA binary") + "0123456789ab", "after 1 of the 2 points"},
		{"a.pcd", change(pcd, "DATA ascii", "DATA binary_compressed") + "\x05\x00\x00\x00\x18\x00\x00\x00\xff\xff\xff\xff\xff", "refer to before their start"},
		{"a.pcd", change(pcd, "DATA ascii", "DATA binary_compressed") + "\x01\x00\x00\x00\x18\x00\x00\x00\xff", "the compressed points end too early"},
		{"a.pcd", change(pcd, "DATA ascii", "DATA binary_compressed") + "\x05\x00\x00\x00\x19\x00\x00\x00\xff\xff\xff\xff\xff", "25 bytes are promised for 2 points of 12 bytes"},
		{"a.pcd", change(pcd, "DATA ascii", "DATA binary_compressed") + "\x05\x00\x00\x00\x18\x00\x00\x00\xff", "after 1 of 5 bytes of compressed points"},
		{"a.xyz", "1 2 3\n4 5 6\n", "a.xyz:1: the first line is numbers: which column is which is not said; put a first line that names the columns"},
		{"a.csv", "x,y,z\n", "holds no points"},
		{"a.csv", "x,y,z\n\n# none\n", "holds no points"},
		{"a.csv", "# nothing\n", "no line that names the columns"},
		{"a.csv", "a,b,c\n1,2,3\n", `no column x among "a", "b", "c"`},
		{"a.csv", "x;y;z\n1,5;2;3\n", "write decimals with a point, not a comma"},
		{"a.csv", "x,y,z,note\n1,2,3\n", `a.csv:2: there is no ',' after "z"`},
		{"a.csv", "x,y,z\n1,,3\n", `a.csv:2: "y" is missing; every line needs 3 columns; write nan`},
		{"a.csv", "x,y,z\n1,2 5,3\n", `there is no ',' after "y"`},
		{"a.csv", "x,y,z\n1,2,3,4\n", "more than 3 columns"},
		{"a.csv", "x,y,z,X\n1,2,3,4\n", `two columns "x"`},
		{"a.csv", "\xff\xfex\x00,\x00", "UTF-16"},
		{"a.csv", "x,y,z\n" + strings.Repeat("1", bufferSize+1), "the line is longer than"},
		{"a.bin", "\x00\x01\x02\x03", "none of the formats"},
	} {
		_, err := readAll(write(t, c.name, []byte(c.content)))
		var f *fault.Error
		if !errors.As(err, &f) {
			t.Errorf("%.60q: got %v, no fault", c.content, err)
			continue
		}
		if !strings.Contains(f.Error(), c.words) || f.Remedy == "" {
			t.Errorf("%.60q\n got  %v\n want %s", c.content, f, c.words)
		}
	}
}

// Zeros up to the end of a page are padding.
func TestPaddingIsNoPoint(t *testing.T) {
	bin := "ply\nformat binary_little_endian 1.0\nelement vertex 1\nproperty float x\nproperty float y\nproperty float z\nend_header\n0123456789ab"
	if got, err := readAll(write(t, "a.ply", append([]byte(bin), make([]byte, 4000)...))); err != nil || got.Len() != 1 {
		t.Errorf("%d points, %v", got.Len(), err)
	}
	if _, err := readAll(write(t, "a.ply", append([]byte(bin), make([]byte, longestPage)...))); err == nil {
		t.Error("a page of zeros and more is read")
	}
}

func TestOpenNamesTheFile(t *testing.T) {
	dir := t.TempDir()
	for path, words := range map[string]string{dir + "/none.ply": "does not exist", dir: "not a regular file"} {
		_, err := Open(path)
		if err == nil || !strings.HasPrefix(err.Error(), path) || !strings.Contains(err.Error(), words) {
			t.Errorf("got %v", err)
		}
	}
}
