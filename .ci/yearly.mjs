// Yearly freeze dates and sums of GHCN-Daily wide files by DuckDB, to compare
// our reading with (BenchmarkAgainstDuckDB in build/climate, which starts it).
//
//   npm install --prefix TOOLS @duckdb/node-api@1.5.6-r.1
//   NODE_PATH=TOOLS/node_modules node .ci/yearly.mjs THREADS
//
// Each line of the input is a request: flags or values, a folder of files and
// the table to write, with tabs between. With flags a value that failed a check
// of the publisher is left out, as our reader does; with values the flags are not
// looked at. The answer is a line with the seconds that it took.
import { createRequire } from 'node:module';
import { createInterface } from 'node:readline';

const giveUp = (message) => { console.error(message); process.exit(2); };

const threads = Number(process.argv[2]);
if (!(threads >= 1)) giveUp('usage: node .ci/yearly.mjs THREADS');

let api;
try {
  // require, unlike import, looks in NODE_PATH.
  api = createRequire(import.meta.url)('@duckdb/node-api');
} catch (e) {
  giveUp(`${e.message.split('\n')[0]}: install @duckdb/node-api in a folder TOOLS and set NODE_PATH=TOOLS/node_modules`);
}

const text = (s) => `'${s.replaceAll("'", "''")}'`;

const columns = {
  STATION: 'VARCHAR', DATE: 'DATE', LATITUDE: 'DOUBLE', LONGITUDE: 'DOUBLE', ELEVATION: 'DOUBLE', NAME: 'VARCHAR',
  PRCP: 'SMALLINT', PRCP_ATTRIBUTES: 'VARCHAR', SNOW: 'SMALLINT', SNOW_ATTRIBUTES: 'VARCHAR',
  TMAX: 'SMALLINT', TMAX_ATTRIBUTES: 'VARCHAR', TMIN: 'SMALLINT', TMIN_ATTRIBUTES: 'VARCHAR',
};

// The second of the flags "m,q,s" or "m,q,s,time" is that of the publisher's
// checks; m is at most one letter. The two comparisons take two thirds of the
// time of split_part.
const passed = (c) => `CASE WHEN starts_with(${c}_ATTRIBUTES, ',,') OR ${c}_ATTRIBUTES LIKE '_,,%' THEN ${c} END`;

const query = (value, folder, out) => `
  COPY (
    SELECT station, year(date) AS year,
      max(date) FILTER (lo <= 0 AND month(date) <= 7) AS last_spring_freeze,
      min(date) FILTER (lo <= 0 AND month(date) >= 8) AS first_autumn_freeze,
      sum(greatest(lo + hi - 200, 0)) AS heat, sum(rain) AS rain
    FROM (
      SELECT STATION AS station, DATE AS date, ${value('TMIN')} AS lo, ${value('TMAX')} AS hi, ${value('PRCP')} AS rain
      FROM read_csv(${text(`${folder}/*.csv`)}, auto_detect = false, header = true, delim = ',', quote = '"', escape = '"',
        columns = {${Object.entries(columns).map(([name, type]) => `${name}: '${type}'`).join(', ')}})
    )
    GROUP BY ALL ORDER BY station, year
  ) TO ${text(out)} (FORMAT csv, HEADER)`;

const database = await (await api.DuckDBInstance.create(':memory:')).connect();
await database.run(`SET threads = ${threads}`);
await database.run('SET preserve_insertion_order = false'); // no order is asked of the rows read
for await (const line of createInterface({ input: process.stdin })) {
  const [kind, folder, out] = line.split('\t');
  const sql = query(kind === 'flags' ? passed : (c) => c, folder, out);
  const start = performance.now();
  await database.run(sql);
  console.log((performance.now() - start) / 1000);
}
