// Package hive says what a colony in its boxes makes of a nectar supply, and
// from that which work falls due on which day. It plays one course of weather
// at a time: Play takes a season with its supply and returns the year's
// events; package forecast puts the members together.
//
// Each course is lived through twice by package colony: in a hive that never
// lacks room, whose gain is the nectar flow, and in the keeper's own boxes with
// the work of the plan done on its days, which tells whether that work suffices.
//
// References, with how each was checked:
//
//   - Bolten, Feinsinger, Baker and Baker 1979, Oecologia 41:301: density of
//     sugar solutions, as printed with the data of Baude et al. 2015 (read there).
//   - Khoury, Myerscough and Barron 2013, PLoS ONE 8:e59084: food used by
//     adults and open brood (parameters read in a public re-implementation).
//   - Phillips 1911, USDA Farmers' Bulletin 447, and Demuth 1912, USDA Farmers'
//     Bulletin 503: bees for the crop are laid five to eight weeks before it (read).
//   - Moeller 1977, USDA Production Research Report 169: winter stores and the
//     last feeding in the northern United States (read in part).
//   - The German trade journal table of 3 kg stores a month with brood and 1 kg
//     without (read).
package hive
