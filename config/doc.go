// Package config knows what the keeper tells the program: settings from flags,
// environment and a YAML file, the forage table and the hive boxes. It is the
// only place that knows viper. Begin with Load, then Settings.Apiary, which
// turns settings and a forage table into what package forecast works on.
//
// It opens no file, reads no environment and asks no clock: cmd passes all of
// that in. The tables and the example configuration are embedded.
package config
