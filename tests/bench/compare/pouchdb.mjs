// 10,000 documents from one PouchDB to its own server and on to another PouchDB; seconds as JSON.
// Both sides keep LevelDB files below the folder given as argument.

import { mkdirSync, readFileSync } from "node:fs";
import express from "express";
import expressPouchdb from "express-pouchdb";
import PouchDB from "pouchdb";

const [folder, eventsFile] = process.argv.slice(2);
mkdirSync(`${folder}/server`, { recursive: true });
mkdirSync(`${folder}/client`);
const events = JSON.parse(readFileSync(eventsFile, "utf8"));
const documents = events.map((event, index) => ({ _id: String(index).padStart(6, "0"), ...event }));

const app = express();
app.use(
  "/",
  expressPouchdb(PouchDB.defaults({ prefix: `${folder}/server/` }), {
    mode: "minimumForPouchDB",
    inMemoryConfig: true,
    logPath: `${folder}/log.txt`,
  }),
);
const server = app.listen(0, "127.0.0.1", async () => {
  const url = `http://127.0.0.1:${server.address().port}/events`;
  const one = new PouchDB(`${folder}/client/one`);
  await one.bulkDocs(documents);
  let began = performance.now();
  await one.replicate.to(url, { batch_size: 2000 });
  const push_s = (performance.now() - began) / 1000;
  const two = new PouchDB(`${folder}/client/two`);
  began = performance.now();
  await two.replicate.from(url, { batch_size: 2000 });
  const pull_s = (performance.now() - began) / 1000;
  const { doc_count } = await two.info();
  console.log(JSON.stringify({ push_s, pull_s, documents: doc_count }));
  process.exit(doc_count === documents.length ? 0 : 1);
});
