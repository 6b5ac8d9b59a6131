/** The judge that lies in the page: MicroPython in a worker, thrown away when it fails. */

import type { Bundle } from "../../shared/contract";
import type { Answers, Question } from "../../shared/judge-messages";
import type { FromEngine, ToEngine } from "../worker/messages";

/** A call of the judge should stay below 100 kB (judge/README.md). */
const ITEMS_A_CALL = 40;
const ANSWER_LIMIT_MS = 60_000;

/** What the page has of the judge. */
export interface JudgeFiles {
  script: string;
  engine: Uint8Array<ArrayBuffer>;
  files: Record<string, string>;
}

export class Judge {
  private readonly worker: Worker;
  private readonly waiting = new Map<number, (answer: FromEngine) => void>();
  private number = 0;

  constructor({ script, engine, files }: JudgeFiles) {
    const address = URL.createObjectURL(new Blob([script], { type: "text/javascript" }));
    this.worker = new Worker(address);
    this.worker.onmessage = ({ data }: MessageEvent<FromEngine>) => this.answered(data);
    this.worker.onerror = (event) => this.answered({ broken: event.message || "script" });
    this.send({ engine, files });
  }

  private send(message: ToEngine): void {
    this.worker.postMessage(message);
  }

  private answered(answer: FromEngine): void {
    if ("id" in answer) {
      this.waiting.get(answer.id)?.(answer);
      this.waiting.delete(answer.id);
      return;
    }
    for (const reject of this.waiting.values()) reject(answer);
    this.waiting.clear();
  }

  /** Rejects where the judge fails or takes longer than a minute. */
  async ask<Q extends Question>(question: Q): Promise<Answers[Q["ask"]]> {
    this.number += 1;
    const id = this.number;
    const answer = await new Promise<FromEngine>((resolve) => {
      const timer = setTimeout(() => resolve({ broken: "silent" }), ANSWER_LIMIT_MS);
      this.waiting.set(id, (given) => {
        clearTimeout(timer);
        resolve(given);
      });
      this.send({ id, text: JSON.stringify(question) });
    });
    if ("broken" in answer) throw new Error(answer.broken);
    const said = JSON.parse(answer.text);
    if (said.error !== undefined) throw new Error(`${said.error.code} ${said.error.about}`);
    return said as Answers[Q["ask"]];
  }

  async load({ hash, rules }: Pick<Bundle, "hash" | "rules">): Promise<void> {
    const { items, ...rest } = rules;
    await this.ask({ ask: "load", bundle: hash, rules: rest, start: true });
    const entries = Object.entries(items).sort(([one], [other]) => (one < other ? -1 : 1));
    for (let from = 0; from < entries.length; from += ITEMS_A_CALL) {
      const part = Object.fromEntries(entries.slice(from, from + ITEMS_A_CALL));
      await this.ask({ ask: "load", bundle: hash, rules: { items: part } });
    }
  }

  close(): void {
    this.worker.terminate();
  }
}
