/**
 * The page's side of the judge: questions in order, one worker, thrown away when it misbehaves.
 * Rules are loaded in pieces, because one call must not carry more than about 100 kB.
 */

import { signal } from "@preact/signals";
import judgeScript from "../judge/worker?worker&url";
import type { Bundle } from "../shared/checklist";
import type { Json } from "../shared/event";
import type { Answers, FromWorker, Question } from "../shared/judge";
import type { OfflineNames } from "../store/api";
import { scriptAddress } from "./trusted";

const PIECE = 40;
const ANSWER_LIMIT_MS = 30_000;

/** The judge answered with an error or not at all. */
export class JudgeProblem extends Error {
  override name = "JudgeProblem";
}

/** What keeps the judge from running, as a sentence; null while it runs. */
export const judgeTrouble = signal<string | null>(null);

interface Waiting {
  resolve: (text: string) => void;
  reject: (problem: Error) => void;
  timer: number;
}

let worker: Worker | null = null;
let started: Promise<void> | null = null;
let number = 0;
const waiting = new Map<number, Waiting>();
let loaded = new Map<string, Promise<void>>();

export async function offlineNames(): Promise<OfflineNames> {
  const answer = await fetch("/api/v1/offline");
  if (!answer.ok) throw new JudgeProblem("This phone has not yet taken the judge along.");
  return (await answer.json()) as OfflineNames;
}

function throwAway(problem: string): void {
  worker?.terminate();
  worker = null;
  started = null;
  loaded = new Map();
  judgeTrouble.value = problem;
  for (const { reject, timer } of waiting.values()) {
    clearTimeout(timer);
    reject(new JudgeProblem(problem));
  }
  waiting.clear();
}

function start(): Promise<void> {
  if (started !== null) return started;
  started = (async () => {
    const { judge } = await offlineNames();
    const mine = new Worker(scriptAddress(judgeScript), { type: "module", name: "judge" });
    worker = mine;
    await new Promise<void>((resolve, reject) => {
      mine.onmessage = ({ data }: MessageEvent<FromWorker>) => {
        if ("ready" in data) {
          judgeTrouble.value = null;
          resolve();
        } else if ("broken" in data) {
          reject(new JudgeProblem(data.broken));
          if (worker === mine) throwAway(data.broken);
        } else {
          const asked = waiting.get(data.id);
          waiting.delete(data.id);
          if (asked !== undefined) {
            clearTimeout(asked.timer);
            asked.resolve(data.text);
          }
        }
      };
      mine.onerror = (event) => {
        reject(new JudgeProblem(event.message));
        if (worker === mine) throwAway(event.message);
      };
      mine.postMessage({ start: judge });
    });
  })();
  started.catch((problem) => {
    started = null;
    judgeTrouble.value = String(problem instanceof Error ? problem.message : problem);
  });
  return started;
}

export async function ask<Q extends Question>(question: Q): Promise<Answers[Q["ask"]]> {
  await start();
  number += 1;
  const id = number;
  const text = await new Promise<string>((resolve, reject) => {
    const timer = window.setTimeout(() => throwAway("The judge does not answer."), ANSWER_LIMIT_MS);
    waiting.set(id, { resolve, reject, timer });
    worker?.postMessage({ id, text: JSON.stringify(question) });
  });
  const answer = JSON.parse(text) as Answers[Q["ask"]] & {
    error?: { code: string; message: string };
  };
  if (answer.error !== undefined) throw new JudgeProblem(answer.error.message);
  return answer;
}

async function loadRules({ hash, rules }: Bundle): Promise<void> {
  const { items, ...rest } = rules;
  await ask({ ask: "load", bundle: hash, rules: rest as Json, start: true });
  const ids = Object.keys(items).sort();
  for (let from = 0; from < ids.length; from += PIECE) {
    const part = Object.fromEntries(
      ids.slice(from, from + PIECE).map((id) => [id, items[id] ?? null]),
    );
    await ask({ ask: "load", bundle: hash, rules: { items: part } });
  }
}

/** Have the rules of this bundle loaded before asking about a visit that uses it. */
export async function withRules(bundle: Bundle): Promise<void> {
  await start();
  let loading = loaded.get(bundle.hash);
  if (loading === undefined) {
    loading = loadRules(bundle);
    loaded.set(bundle.hash, loading);
    loading.catch(() => loaded.delete(bundle.hash));
  }
  await loading;
}

/** Try again after trouble. */
export async function restartJudge(): Promise<void> {
  throwAway("restarting");
  await start();
}
