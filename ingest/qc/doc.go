// Package qc tests the daily temperatures of a station: against what can be,
// against its own record and against its neighbours. Every doubt is a Finding
// that names the check. A check that is decisive rejects the value, as a flag
// and never by taking it out; the others only report.
//
// References, all from memory:
//
//	Durre, Menne, Gleason, Houston and Vose 2010, Comprehensive automated
//	quality assurance of daily surface observations, J. Appl. Meteorol.
//	Climatol. 49:1615 (the checks of GHCN-Daily)
//	Hubbard, Goddard, Sorensen, Wells and Osugi 2005, J. Atmos. Oceanic
//	Technol. 22:105 (spatial regression)
//	Alexandersson 1986, A homogeneity test applied to precipitation data,
//	J. Climatol. 6:661 (standard normal homogeneity test)
//	Khaliq and Ouarda 2007, Int. J. Climatol. 27:681 (its critical values)
//	Vincent, Milewska, Hopkinson and Malone 2009, J. Appl. Meteorol. Climatol.
//	48:2148 (days shifted by the hour of reading)
//
// Where a limit differs from the paper's, the check says so.
package qc
