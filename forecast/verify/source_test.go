package verify_test

import "math/rand/v2"

// fixed is a source of chance with a known seed.
func fixed(seed uint64) rand.Source { return rand.NewPCG(seed, seed) }
