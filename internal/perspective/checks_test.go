package perspective

import (
	"encoding/json"
	"os"
	"testing"
)

// checkFile holds 60 worked views and 23 facts, each with its source.
type checkFile struct {
	Limits struct {
		Cone       float64        `json:"cone_half_angle_deg_max"`
		Margin     float64        `json:"margin_mm_min"`
		Edge       float64        `json:"min_visible_edge_mm"`
		Vertex     float64        `json:"min_vertex_angle_deg"`
		Face       float64        `json:"min_face_thickness_mm"`
		Corner     float64        `json:"min_corner_to_edge_mm"`
		Spread     float64        `json:"spread_deg_min"`
		ToPoint    float64        `json:"nearest_corner_to_vp_mm"`
		PlaneAngle float64        `json:"picture_plane_angle_deg_min"`
		Hull       float64        `json:"hull_mm_min"`
		Faces      map[string]int `json:"visible_faces_min"`
		Near       float64        `json:"near_corner_min_angle_deg"`
	} `json:"limits"`
	Facts []fact     `json:"facts"`
	Cases []viewCase `json:"cases"`
}

type viewCase struct {
	ID     string  `json:"id"`
	Kind   int     `json:"kind"`
	Source string  `json:"source"`
	TolMM  float64 `json:"tolerance_mm"`
	TolDeg float64 `json:"tolerance_deg"`
	Input  struct {
		Sheet struct {
			Size      [2]float64 `json:"size"`
			Principal [2]float64 `json:"principal_point"`
			Distance  float64    `json:"viewing_distance"`
		} `json:"sheet"`
		Camera struct {
			Eye   [3]float64 `json:"eye"`
			Yaw   float64    `json:"yaw_deg"`
			Pitch float64    `json:"pitch_deg"`
		} `json:"camera"`
		Box struct {
			Base [3]float64 `json:"base_center"`
			Yaw  float64    `json:"yaw_deg"`
			Size [3]float64 `json:"size"`
		} `json:"box"`
	} `json:"input"`
	Expected expected `json:"expected"`
	ByHand   byHand   `json:"by_hand"`
}

type expected struct {
	Points        int           `json:"points"`
	Corners       [8][2]float64 `json:"corners_xy"`
	Depths        [8]float64    `json:"corner_depths"`
	HiddenEdges   []int         `json:"hidden_edges"`
	HiddenCorners []int         `json:"hidden_corners"`
	VisibleFaces  []string      `json:"visible_faces"`
	EdgeOnFaces   []string      `json:"edge_on_faces"`
	Horizon       struct {
		Y    float64    `json:"y"`
		Line [3]float64 `json:"line"`
	} `json:"horizon"`
	DistancePoints  [2][2]float64 `json:"distance_points"`
	Cone            float64       `json:"cone_half_angle_deg"`
	ConeCorner      int           `json:"cone_corner"`
	Spread          [3]float64    `json:"spread_deg"`
	VanishingPoints [3]struct {
		Finite     bool       `json:"finite"`
		At         [3]float64 `json:"homogeneous"`
		PlaneAngle float64    `json:"picture_plane_angle_deg"`
	} `json:"vanishing_points"`
	MeasuringPoints [3]*[2][2]float64 `json:"measuring_points"`
	MinusDot        []float64         `json:"minus_dot"`
	Orthocentre     *[2]float64       `json:"orthocentre"`
	TriangleAngles  *[3]float64       `json:"triangle_angles_deg"`
	Measures        struct {
		Margin  float64     `json:"margin_mm"`
		Edge    float64     `json:"min_visible_edge_mm"`
		Vertex  float64     `json:"min_vertex_angle_deg"`
		Face    float64     `json:"min_face_thickness_mm"`
		Corner  float64     `json:"min_corner_to_edge_mm"`
		Hull    float64     `json:"hull_mm"`
		Spread  [3]float64  `json:"spread_visible_deg"`
		ToPoint [3]*float64 `json:"nearest_corner_to_vp_mm"`
		Near    *float64    `json:"near_corner_min_angle_deg"`
	} `json:"measures"`
	RejectedBy []string `json:"rejected_by"`
}

// byHand holds values worked with pencil and paper, not by any program.
type byHand struct {
	Corner            map[int][2]float64  `json:"corner"`
	VP                map[int]*[2]float64 `json:"vp"`
	MP                map[int][2]float64  `json:"mp"`
	DP                [][2]float64        `json:"dp"`
	Hidden            []int               `json:"hidden"`
	EdgeOn            []string            `json:"edge_on"`
	Horizon           *float64            `json:"horizon"`
	LineMeetsHorizon  [][3]float64        `json:"line_meets_horizon"`
	VerticalDP        []json.RawMessage   `json:"vertical_dp"`
	MinusDot          json.RawMessage     `json:"minus_dot"`
	Orthocentre       *[2]float64         `json:"ortho"`
	TriangleAnglesDeg *[3]float64         `json:"tri"`
}

func readChecks(t *testing.T) checkFile {
	t.Helper()
	b, err := os.ReadFile("../../testdata/checks/views.json")
	if err != nil {
		t.Fatal(err)
	}
	var f checkFile
	if err := json.Unmarshal(b, &f); err != nil {
		t.Fatal(err)
	}
	if len(f.Cases) != 60 || len(f.Facts) != 23 {
		t.Fatalf("%d cases, %d facts; want 60 and 23", len(f.Cases), len(f.Facts))
	}
	return f
}
