// Package honey is the arithmetic of nectar, honey and syrup: what nectar
// ripens to, whether honey is ripe, how it weighs and keeps, how syrup is
// mixed. It knows no hive and no weather.
//
// References, with how each was checked:
//
//   - Bolten, Feinsinger, Baker and Baker 1979, Oecologia 41:301: density of
//     sugar solutions, as printed with the data of Baude et al. 2015 (read there).
//   - Chataway 1932, as fitted by Wedmore 1955: water from the refractive index
//     (table read in two reprints; the formula re-derived from it).
//   - White 1975, as in Krell 1996, FAO Agricultural Services Bulletin 124:
//     specific gravity of honey (from memory; 17 and 18 % read elsewhere).
//   - Martin 1958 and White: water of honey in equilibrium with air (read in a
//     reprint).
//   - Lochhead 1933: yeasts and the water at which honey ferments (read in a
//     reprint).
//   - Council Directive 2001/110/EC, Annex II; Codex Standard CXS 12-1981 (from
//     memory); United States Standards for Grades of Extracted Honey 1985;
//     Australia New Zealand Food Standards Code 2.8.2: limits of water (read
//     unless marked).
package honey
