// Package flow turns bloom and weather into nectar, finds the nectar flows in
// a run of daily gains and measures them. It knows plants and weather but no
// hive; forecast/hive says what a colony makes of the supply.
//
// References, with how each was checked:
//
//   - Baude, Kunin and Memmott 2015, EIDC doi 10.5285/69402002-1676-4de9-a04e-d17e827db93c:
//     nectar sugar per flower and flowers per area in Great Britain (read;
//     contains data supplied by Natural Environment Research Council).
//   - Burrill and Dietz 1981, in the COLOSS BEEBOOK: flight against temperature (read).
//   - Lundie 1925, USDA Bulletin 1328: rain stops flight at once (read).
//   - Hill 1973, Ecology 54:427: effective number as 1/Σp² (from memory).
//   - TrachtNet, the German bee institutes' network of hive scales: start and
//     end of flow at the turning points of the running sum (read).
package flow
