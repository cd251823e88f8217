package oracle

import (
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"sync"

	"example.org/headroom/rules/internal/repository"
)

// tables are the published values that the oracle uses, read from
// testdata/published.
type tables struct {
	metric   map[float64]metricSize
	american map[string]americanSize
	gates    map[string]gateTimes
	creepage []creepage
	fusing   float64 // least current that opens a gG link for certain, in ratings
}

// metricSize is what is known of a wire of a size in mm2.
type metricSize struct {
	ohmPerKm float64 // IEC 60228, class 5, plain, 20 C
	amps     float64 // single core in free air, 30 C, conductor 70 C; DIN VDE 0298-4
}

// americanSize is what is known of a wire by its gauge.
type americanSize struct {
	area    float64 // mm2, ASTM B258
	vehicle float64 // mm2, of vehicle cable of that number, SAE J1127 and J1128
	amps    float64 // single conductor in free air, 30 C, conductor 90 C; NFPA 70
}

// gateTimes are the shortest and the longest opening times that a standard
// allows, by the multiple of the rating.
type gateTimes struct{ shortest, longest []point }

// creepage is the least way along a surface of pollution degree 3 and material
// group III up to a voltage, mm.
type creepage struct{ volts, mm float64 }

// published reads the tables once; they never change.
var published = sync.OnceValue(readTables)

func readTables() *tables {
	t := &tables{metric: map[float64]metricSize{}, american: map[string]americanSize{}, gates: map[string]gateTimes{}}
	free := map[string]float64{"0.5": 12} // the table starts at 0.75 mm2; from memory
	for _, row := range readTable("vde0298_free_air") {
		free[row["area_mm2"]] = value(row["single_core_free_air_A"])
	}
	for _, row := range readTable("iec60228") {
		area := row["area_mm2"]
		t.metric[value(area)] = metricSize{value(row["class5_plain_ohm_km"]), free[area]}
	}
	for _, row := range readTable("nec_310_17") {
		t.american[row["awg"]] = americanSize{amps: value(row["a90_A"])}
	}
	fill := func(gauge string, set func(*americanSize)) {
		if size, ok := t.american[gauge]; ok {
			set(&size)
			t.american[gauge] = size
		}
	}
	for _, row := range readTable("awg") {
		fill(row["awg"], func(s *americanSize) { s.area = value(row["area_mm2"]) })
	}
	for _, row := range readTable("sae_sizes") {
		fill(row["sae_size"], func(s *americanSize) { s.vehicle = value(row["area_mm2"]) })
	}
	for _, row := range readTable("iec60664_creepage") {
		t.creepage = append(t.creepage, creepage{value(row["rms_V"]), value(row["pd3_III"])})
	}
	for _, row := range readTable("iec60269_conventional") {
		t.fusing = max(t.fusing, value(row["fusing_multiple"]))
	}
	t.readGates()
	return t
}

// readGates reads the opening times. A row without a longest time says that the
// fuse must not open there, which is no point of its curve.
func (t *tables) readGates() {
	add := func(class, percent, shortest, longest string) {
		g := t.gates[class]
		if shortest != "" {
			g.shortest = append(g.shortest, point{value(percent) / 100, value(shortest)})
		}
		g.longest = append(g.longest, point{value(percent) / 100, value(longest)})
		t.gates[class] = g
	}
	for _, row := range readTable("iso8820_3") {
		class := "blade"
		if strings.HasPrefix(row["type"], "E") {
			class = "blade-high-current"
		}
		if row["max_s"] != "" {
			add(class, row["percent_of_rating"], row["min_s"], row["max_s"])
		}
	}
	for _, row := range readTable("iso8820_5") {
		if row["max_s"] != "" {
			add("bolt-down", row["percent_of_rating"], row["min_s"], row["max_s"])
		}
	}
	for _, row := range readTable("ul248") {
		if row["standard"] != "UL 248-14" || row["max_open_s"] == "" {
			continue
		}
		if row["rated_A"] == "0-30" {
			add("ul", row["percent"], "", row["max_open_s"])
		}
		// What is printed at 135 % holds for the larger ones too.
		if row["rated_A"] != "0-30" || row["percent"] == "135" {
			add("ul above 30 A", row["percent"], "", row["max_open_s"])
		}
	}
}

// readTable reads a file of testdata/published: rows by the names of the columns.
// It panics where there is none, since nothing can be expected without.
func readTable(name string) []map[string]string {
	file, err := os.Open(repository.Testdata("published", name+".csv"))
	if err != nil {
		panic(err)
	}
	defer file.Close() //nolint:errcheck // nothing was written
	reader := csv.NewReader(file)
	reader.Comment = '#'
	lines, err := reader.ReadAll()
	if err != nil {
		panic(err)
	}
	var rows []map[string]string
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, cell := range line {
			row[lines[0][i]] = cell
		}
		rows = append(rows, row)
	}
	return rows
}

func value(cell string) float64 {
	x, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		panic(err)
	}
	return x
}
