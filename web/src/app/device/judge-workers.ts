/**
 * The judges of a page, each in a worker. Two engines of the same files: one answers taps (milliseconds),
 * the other judges the whole visit (a second on a slow phone), so that no tap waits behind that.
 * An engine that misbehaves is thrown away and made anew. Rules are loaded in pieces, because one
 * call must not carry more than about 100 kB.
 */

import { type Signal, signal } from "@preact/signals";
import judgeScript from "../../judge/worker?worker&url";
import type { Answers, Ask, FromWorker, Question } from "../../shared/judge-messages";
import { message, type Said, saidOf } from "../../shared/said";
import { type Judge, JudgeProblem, type Judges, offlineNames, type ReadBundle } from "./judge";
import { scriptAddress } from "./trusted-types";

const PIECE = 40;
const ANSWER_LIMIT_MS = 60_000;

interface Waiting {
  resolve: (text: string) => void;
  reject: (problem: Error) => void;
  timer: number;
}

/** A worker whose script could not be fetched says so by an event without a message. */
export function faultOf({ message: fault }: { message?: string }): Said {
  if (fault === undefined || fault === "") return message("phone-error-no-judge");
  return message("phone-error-judge", { fault });
}

class Engine implements Judge {
  private worker: Worker | null = null;
  private started: Promise<void> | null = null;
  private loaded = new Map<string, Promise<void>>();
  private trouble: Promise<void> | null = null;
  private told: (problem: Said | null) => void = () => undefined;
  private address = "";
  private readonly waiting = new Map<number, Waiting>();
  private number = 0;

  constructor(
    private readonly name: string,
    private readonly problem: Signal<Said | null>,
  ) {}

  throwAway(problem: Said): void {
    this.worker?.terminate();
    this.worker = null;
    this.started = null;
    this.loaded = new Map();
    this.trouble = null;
    this.told(problem);
    this.problem.value = problem;
    for (const { reject, timer } of this.waiting.values()) {
      clearTimeout(timer);
      reject(new JudgeProblem(problem));
    }
    this.waiting.clear();
  }

  start(): Promise<void> {
    if (this.started !== null) return this.started;
    const starting = this.launch();
    this.started = starting;
    starting.catch((problem) => {
      this.started = null;
      this.problem.value = saidOf(problem);
    });
    return starting;
  }

  private async launch(): Promise<void> {
    const { judge } = await offlineNames();
    this.address = judge;
    const mine = new Worker(scriptAddress(judgeScript), { type: "module", name: this.name });
    this.worker = mine;
    await new Promise<void>((resolve, reject) => {
      mine.onmessage = ({ data }: MessageEvent<FromWorker>) => {
        if ("ready" in data) {
          this.problem.value = null;
          resolve();
        } else if ("more" in data) {
          this.told(data.problem);
        } else if ("broken" in data) {
          reject(new JudgeProblem(data.broken));
          if (this.worker === mine) this.throwAway(data.broken);
        } else {
          const question = this.waiting.get(data.id);
          this.waiting.delete(data.id);
          if (question !== undefined) {
            clearTimeout(question.timer);
            question.resolve(data.text);
          }
        }
      };
      mine.onerror = (event) => {
        const problem = faultOf(event);
        reject(new JudgeProblem(problem));
        if (this.worker === mine) this.throwAway(problem);
      };
      mine.postMessage({ start: judge });
    });
  }

  async hash(): Promise<string> {
    await this.start();
    return /([0-9a-f]{64})\.json$/.exec(this.address)?.[1] ?? "";
  }

  async ask<Q extends Question>(question: Q): Promise<Answers[Q["ask"]]> {
    const began = performance.now();
    await this.start();
    this.number += 1;
    const id = this.number;
    const text = await new Promise<string>((resolve, reject) => {
      const timer = window.setTimeout(
        () => this.throwAway(message("phone-error-judge-silent")),
        ANSWER_LIMIT_MS,
      );
      this.waiting.set(id, { resolve, reject, timer });
      this.worker?.postMessage({ id, text: JSON.stringify(question) });
    });
    const answer = JSON.parse(text) as Answers[Q["ask"]] & {
      error?: { code: string; about: string };
    };
    // for whoever measures (tests/bench/bench_phone.py); observers hear it, nothing piles up
    const measured = `judge ${question.ask}`;
    performance.measure(measured, { start: began });
    performance.clearMeasures(measured);
    if (answer.error !== undefined)
      throw new JudgeProblem(`${answer.error.code} ${answer.error.about}`);
    return answer;
  }

  private async load({ hash, rules, judged }: ReadBundle): Promise<void> {
    const { items, ...rest } = judged ?? rules;
    await this.ask({ ask: "load", bundle: hash, rules: rest, start: true });
    const entries = Object.entries(items).sort(([one], [other]) => (one < other ? -1 : 1));
    for (let from = 0; from < entries.length; from += PIECE) {
      const part = entries.slice(from, from + PIECE);
      await this.ask({ ask: "load", bundle: hash, rules: { items: Object.fromEntries(part) } });
    }
  }

  async withTrouble(): Promise<void> {
    await this.start();
    this.trouble ??= new Promise<void>((resolve, reject) => {
      this.told = (problem) => (problem === null ? resolve() : reject(new JudgeProblem(problem)));
      this.worker?.postMessage({ more: this.address.replace(/\.json$/, "/trouble.json") });
    });
    const loading = this.trouble;
    loading.catch(() => {
      if (this.trouble === loading) this.trouble = null;
    });
    await loading;
  }

  async withRules(bundle: ReadBundle): Promise<void> {
    await this.start();
    let loading = this.loaded.get(bundle.hash);
    if (loading === undefined) {
      loading = this.load(bundle);
      this.loaded.set(bundle.hash, loading);
      loading.catch(() => this.loaded.delete(bundle.hash));
    }
    await loading;
  }
}

export class JudgeWorkers implements Judges {
  readonly problem = signal<Said | null>(null);
  readonly forTaps = new Engine("taps", this.problem);
  readonly forVisit = new Engine("visit", this.problem);

  ask: Ask = (question) => (question.ask === "fold" ? this.forTaps : this.forVisit).ask(question);

  /** Try again after a problem. */
  async restart(): Promise<void> {
    for (const engine of [this.forTaps, this.forVisit])
      engine.throwAway(message("phone-error-judge-restarting"));
    await this.forTaps.start();
  }
}
