// Runs SQL statements with DuckDB in the current folder and prints the rows of each as JSON.
//   node query.mjs STATEMENT...
import { DuckDBInstance } from "@duckdb/node-api";

const database = await DuckDBInstance.create(":memory:");
const connection = await database.connect();
const plain = (v) => (typeof v === "bigint" ? Number(v) : v);

const all = [];
for (const statement of process.argv.slice(2)) {
  const rows = await connection.runAndReadAll(statement);
  all.push({ columns: rows.columnNames(), rows: rows.getRows().map((row) => row.map(plain)) });
}
console.log(JSON.stringify(all));
