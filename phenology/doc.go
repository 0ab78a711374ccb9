// Package phenology turns the temperatures of a season into the dates when
// plants bloom. It starts with NewSeason, the only door through which weather
// enters, goes on with a Clock, which counts degree days, and ends with
// Model.Predict, which says when a stand is in bloom.
//
// Everything here is a pure function of its arguments. A stage that is not
// reached is a result, never a made-up date.
//
// References, with how each was checked:
//
//   - Baskerville and Emin 1969, Ecology 50:514: the sine method (from memory;
//     formula read in two public implementations and integrated numerically).
//   - Zalom, Goodell, Wilson, Barnett and Bentley 1983, University of
//     California Leaflet 21373: six cases and table 7 (table read in the test
//     data of the R package degday).
//   - McMaster and Wilhelm 1997, Agric. For. Meteorol. 87:291: two averages and
//     table 1 (table read in the test data of the R package degday).
//   - Roltsch, Zalom, Strawn, Strand and Pitcairn 1999, Int. J. Biometeorol.
//     42:169: the three cutoffs (from memory).
//   - Baude, Kunin and Memmott 2015, EIDC doi 10.5285/69402002-1676-4de9-a04e-d17e827db93c:
//     a triangle over the bloom (read).
package phenology
