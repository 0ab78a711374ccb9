package archive

import "github.com/parquet-go/parquet-go/format"

// The meanings that Parquet gives to plain types (parquet-format 2.12,
// LogicalTypes.md, as package format of parquet-go has it).

func text() format.LogicalType { return format.LogicalType{Value: &format.StringType{}} }

func day() format.LogicalType { return format.LogicalType{Value: &format.DateType{}} }

func octet() format.LogicalType {
	return format.LogicalType{Value: &format.IntType{BitWidth: 8}}
}
