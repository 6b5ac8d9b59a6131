/** The real server's log and pairing (`tests/log/process.py`), a process of its own over a folder. */

import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { cpSync, mkdtempSync, rmSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { vi } from "vitest";

const root = fileURLToPath(new URL("../../..", import.meta.url));
const python = join(root, ".venv/bin/python");
const START_LIMIT_MS = 60_000;

async function freePort(): Promise<number> {
  const listener = createServer().listen(0, "127.0.0.1");
  await once(listener, "listening");
  const { port } = listener.address() as { port: number };
  listener.close();
  await once(listener, "close");
  return port;
}

export class RealServer {
  private process: ChildProcess | null = null;
  private said = "";

  private constructor(
    readonly folder: string,
    readonly port: number,
  ) {}

  static async start(): Promise<RealServer> {
    const folder = mkdtempSync(join(tmpdir(), "bradawl-web-test-"));
    const server = new RealServer(folder, await freePort());
    await server.go();
    return server;
  }

  async go(): Promise<void> {
    const started = spawn(
      python,
      ["-m", "tests.log.process", join(this.folder, "data"), String(this.port)],
      {
        cwd: root,
        stdio: ["ignore", "pipe", "pipe"],
      },
    );
    this.process = started;
    started.stderr?.on("data", (text) => {
      this.said += text;
    });
    const until_ms = Date.now() + START_LIMIT_MS;
    while (Date.now() < until_ms) {
      if (started.exitCode !== null) break;
      const up = await realFetch(`http://127.0.0.1:${this.port}/api/v1/me`).catch(() => null);
      if (up !== null) return;
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
    throw new Error(`the server did not start: ${this.said}`);
  }

  async kill(): Promise<void> {
    const running = this.process;
    this.process = null;
    if (running === null || running.exitCode !== null) return;
    running.kill("SIGKILL");
    await once(running, "exit");
  }

  /** Keep a copy of the data folder, as somebody who copies files does. */
  async keep(name: string): Promise<void> {
    await this.kill();
    cpSync(join(this.folder, "data"), join(this.folder, name), { recursive: true });
    await this.go();
  }

  /** Put a copy back in the place of the data folder. */
  async putBack(name: string): Promise<void> {
    await this.kill();
    rmSync(join(this.folder, "data"), { recursive: true });
    cpSync(join(this.folder, name), join(this.folder, "data"), { recursive: true });
    await this.go();
  }

  async end(): Promise<void> {
    await this.kill();
    rmSync(this.folder, { recursive: true, force: true });
  }

  /** Run a few lines of Python on the log of the data folder, which is `log`. */
  async within(lines: string): Promise<void> {
    await this.kill();
    const code = [
      "import sys",
      "from pathlib import Path",
      "from bradawl.common import settings",
      "from bradawl.database.connection import open_engine",
      "from bradawl.log.event_log import Log",
      "from bradawl.log.photos.storage import open_photo_store",
      "from bradawl.log.chains.own_keys import OwnKeys",
      "folder = Path(sys.argv[1])",
      "chosen = settings.at(folder / 'data')",
      "keys = OwnKeys(folder / 'keys', folder / 'notes')",
      "log = Log(open_engine(chosen.database_url), open_photo_store(chosen.photo_store), keys=keys)",
      lines,
      "log.close()",
    ].join("\n");
    const run = spawn(python, ["-c", code, this.folder], {
      cwd: root,
      stdio: ["ignore", "inherit", "inherit"],
    });
    const [status] = (await once(run, "exit")) as [number];
    if (status !== 0) throw new Error("the lines failed");
    await this.go();
  }
}

/** What a browser keeps beside the storage: cookies, and the origin that addresses are of. */
export class Browser {
  cookie = "";
  /** Every request since, as method and path. */
  asked: string[] = [];

  constructor(private readonly server: RealServer) {}

  /** From now on the app's own requests go out from this browser. */
  use(): void {
    vi.stubGlobal("fetch", (path: string, init: RequestInit) => this.fetch(path, init));
  }

  async fetch(path: string, init: RequestInit): Promise<Response> {
    this.asked.push(`${init.method ?? "GET"} ${path.replace("/api/v1/", "")}`);
    const origin = `http://127.0.0.1:${this.server.port}`;
    const headers = { ...(init.headers as Record<string, string>), Origin: origin };
    if (this.cookie !== "") Object.assign(headers, { Cookie: this.cookie });
    const { credentials: _c, cache: _k, ...rest } = init;
    const answer = await realFetch(`${origin}${path}`, { ...rest, headers });
    const [set] = answer.headers.getSetCookie();
    if (set !== undefined) this.cookie = set.split(";")[0] as string;
    return answer;
  }
}

const realFetch = globalThis.fetch;
