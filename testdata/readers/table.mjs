// Reads Parquet tables with DuckDB and prints what it finds as JSON, one object for each table: columns with their types, the
// rows, the files' key-values. Whole numbers of 64 bits are printed as text, since JSON's own do not hold them.
//   node table.mjs GLOB...
import { DuckDBInstance } from "@duckdb/node-api";

const database = await DuckDBInstance.create(":memory:");
const connection = await database.connect();
const plain = (v) => (typeof v === "bigint" ? v.toString() : v);

async function found(glob) {
  const files = glob.replaceAll("'", "''");
  const rows = await connection.runAndReadAll(`select * from read_parquet('${files}', union_by_name = true)`);
  const keys = await connection.runAndReadAll(
    `select distinct decode(key) as key, decode(value) as value from parquet_kv_metadata('${files}') order by all`);
  const types = rows.columnTypes();
  return {
    columns: rows.columnNames().map((name, i) => ({ name, type: types[i].toString() })),
    rows: rows.getRows().map((row) => row.map(plain)),
    keys: Object.fromEntries(keys.getRows()),
  };
}

const all = [];
for (const glob of process.argv.slice(2)) all.push(await found(glob));
console.log(JSON.stringify(all));
