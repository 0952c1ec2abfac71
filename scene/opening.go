package scene

import (
	"errors"
	"math"

	"cellwall/fit"
)

// openingOf is an opening that was measured, or what an opening is at least. Of
// the latter no sigma is stated: it would read like a measure.
func openingOf(w *fit.Opening) (measured, atLeast *fileOpening) {
	f := &fileOpening{Y: numbers{mm(w.YMin), mm(w.YMax)}, Z: numbers{mm(w.ZMin), mm(w.ZMax)}}
	if !w.Measured() {
		return nil, f
	}
	sigma := func(i int) float64 { return figures(sigmaFigures, w.Sigma[i]) }
	f.SigmaY, f.SigmaZ = numbers{sigma(0), sigma(1)}, numbers{sigma(2), sigma(3)}
	return f, nil
}

// opening is nil where the file has none.
func (f *fileObject) opening() (*fit.Opening, error) {
	switch {
	case f.Opening != nil && f.AtLeast != nil:
		return nil, errors.New("opening and opening_at_least do not go together")
	case f.Opening != nil:
		return f.Opening.edges(f.Opening.SigmaY, f.Opening.SigmaZ)
	case f.AtLeast != nil:
		unknown := numbers{math.Inf(1), math.Inf(1)}
		return f.AtLeast.edges(unknown, unknown)
	}
	return nil, nil
}

func (f *fileOpening) edges(sigmaY, sigmaZ numbers) (*fit.Opening, error) {
	for _, pair := range [4]numbers{f.Y, f.Z, sigmaY, sigmaZ} {
		if len(pair) != 2 {
			return nil, errors.New("opening: y_mm and z_mm, and their sigmas where it was measured, are a least and a greatest value each")
		}
	}
	return &fit.Opening{
		YMin: f.Y[0], YMax: f.Y[1], ZMin: f.Z[0], ZMax: f.Z[1],
		Sigma: [4]float64{sigmaY[0], sigmaY[1], sigmaZ[0], sigmaZ[1]},
	}, nil
}
