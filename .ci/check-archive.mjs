// Print the rows of an archive's files as CSV, read by hyparquet:
// station,date,tmin,tmax,rain,wind and the four columns of flags. Null is an
// empty cell.
import { pathToFileURL } from "node:url";

const { asyncBufferFromFile, parquetReadObjects, parquetMetadataAsync } = await import(pathToFileURL(process.env.HYPARQUET));

const cell = (v) => (v === null || v === undefined ? "" : String(v));
for (const name of process.argv.slice(2)) {
  const file = await asyncBufferFromFile(name);
  const meta = await parquetMetadataAsync(file);
  const said = Object.fromEntries(meta.key_value_metadata.map((kv) => [kv.key, kv.value]));
  const rows = await parquetReadObjects({ file });
  if (Number(meta.num_rows) !== rows.length) throw new Error(`${name}: ${rows.length} of ${meta.num_rows} rows`);
  for (const r of rows) {
    if (r.station !== said["bloomtide.station"]) throw new Error(`${name}: a row is of station ${r.station}`);
    console.log(
      [
        r.station, r.date.toISOString().slice(0, 10), r.tmin_tenths_c, r.tmax_tenths_c, r.rain_tenths_mm, r.wind_tenths_ms,
        r.tmin_flags, r.tmax_flags, r.rain_flags, r.wind_flags,
      ]
        .map(cell)
        .join(","),
    );
  }
}
