package surface

// mat3 is a 3 x 3 matrix in the parameters of a plane: offset, turn about U,
// turn about V, as Cov3 has them.
type mat3 [3][3]float64

// vec3 holds the three parameters of a plane.
type vec3 [3]float64

func (a mat3) plus(b mat3) mat3 {
	for i := range a {
		for j := range a[i] {
			a[i][j] += b[i][j]
		}
	}
	return a
}

func (a mat3) times(f float64) mat3 {
	for i := range a {
		for j := range a[i] {
			a[i][j] *= f
		}
	}
	return a
}

func (a mat3) mul(b mat3) (c mat3) {
	for i := range 3 {
		for j := range 3 {
			c[i][j] = a[i][0]*b[0][j] + a[i][1]*b[1][j] + a[i][2]*b[2][j]
		}
	}
	return c
}

func (a mat3) apply(v vec3) (w vec3) {
	for i := range 3 {
		w[i] = a[i][0]*v[0] + a[i][1]*v[1] + a[i][2]*v[2]
	}
	return w
}

func (a mat3) transposed() (b mat3) {
	for i := range 3 {
		for j := range 3 {
			b[i][j] = a[j][i]
		}
	}
	return b
}

// through is j a j^T, the law of propagation (JCGM 100:2008, 5.2.2).
func (a mat3) through(j mat3) mat3 { return j.mul(a).mul(j.transposed()) }

func (a mat3) trace() float64 { return a[0][0] + a[1][1] + a[2][2] }

// inverse by cofactors, and the determinant; where that is zero the inverse is
// not finite.
func (a mat3) inverse() (inv mat3, det float64) {
	for i := range 3 {
		for j := range 3 {
			p, q, r, s := (j+1)%3, (j+2)%3, (i+1)%3, (i+2)%3
			inv[i][j] = a[p][r]*a[q][s] - a[p][s]*a[q][r]
		}
	}
	det = a[0][0]*inv[0][0] + a[0][1]*inv[1][0] + a[0][2]*inv[2][0]
	return inv.times(1 / det), det
}

func (v vec3) dot(w vec3) float64 { return v[0]*w[0] + v[1]*w[1] + v[2]*w[2] }

func (v vec3) plus(w vec3) vec3 { return vec3{v[0] + w[0], v[1] + w[1], v[2] + w[2]} }

func (v vec3) minus(w vec3) vec3 { return vec3{v[0] - w[0], v[1] - w[1], v[2] - w[2]} }

// outer is v v^T.
func (v vec3) outer() (a mat3) {
	for i := range 3 {
		for j := range 3 {
			a[i][j] = v[i] * v[j]
		}
	}
	return a
}
