package archive

import (
	"bytes"

	"github.com/parquet-go/parquet-go/deprecated"
	"github.com/parquet-go/parquet-go/encoding/thrift"
	"github.com/parquet-go/parquet-go/format"
)

// schema returns the elements of the schema as a footer lists them: the row, and
// its columns in their order. It is the same in every file.
func schema() ([]byte, error) {
	all := elements()
	columns := []format.SchemaElement{
		{
			Name: stationColumn, Type: thrift.New(format.ByteArray), RepetitionType: thrift.New(format.Required),
			LogicalType: text(), ConvertedType: thrift.New(deprecated.UTF8),
		},
		{
			Name: dateColumn, Type: thrift.New(format.Int32), RepetitionType: thrift.New(format.Required),
			LogicalType: day(), ConvertedType: thrift.New(deprecated.Date),
		},
	}
	for i := range all {
		columns = append(columns, format.SchemaElement{
			Name: all[i].name, Type: thrift.New(format.Int32), RepetitionType: thrift.New(format.Optional),
		})
	}
	for i := range all {
		columns = append(columns, format.SchemaElement{
			Name: all[i].flagsName, Type: thrift.New(format.Int32), RepetitionType: thrift.New(format.Required),
			LogicalType: octet(), ConvertedType: thrift.New(deprecated.Uint8),
		})
	}
	var b bytes.Buffer
	row := format.SchemaElement{Name: "day", NumChildren: thrift.New(int32(len(columns)))}
	for _, e := range append([]format.SchemaElement{row}, columns...) {
		if err := thrift.NewEncoder(new(thrift.CompactProtocol).NewWriter(&b)).Encode(&e); err != nil {
			return nil, err
		}
	}
	return b.Bytes(), nil
}
