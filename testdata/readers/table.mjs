// Reads Parquet files with DuckDB and prints what it finds as JSON: columns with their types, the rows, the file's key-values.
// Whole numbers of 64 bits are printed as text, since JSON's own do not hold them.
//   node table.mjs GLOB
import { DuckDBInstance } from "@duckdb/node-api";

const files = process.argv[2].replaceAll("'", "''");
const database = await DuckDBInstance.create(":memory:");
const connection = await database.connect();

const rows = await connection.runAndReadAll(`select * from read_parquet('${files}')`);
const keys = await connection.runAndReadAll(
  `select distinct decode(key) as key, decode(value) as value from parquet_kv_metadata('${files}') order by all`);
const plain = (v) => (typeof v === "bigint" ? v.toString() : v);

const columns = rows.columnNames().map((name, i) => ({ name, type: rows.columnTypes()[i].toString() }));
console.log(JSON.stringify({
  columns,
  rows: rows.getRows().map((row) => row.map(plain)),
  keys: Object.fromEntries(keys.getRows()),
}));
