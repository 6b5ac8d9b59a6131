/**
 * `npm run dev`: the real server behind the app's own address, started anew when its code changes.
 *
 * Vite answers the app's files, everything else goes to `bradawl serve` on a free port. A request
 * that comes while the server starts waits for it; if the server does not start, the answer is
 * what it said.
 */

import { type ChildProcess, spawn } from "node:child_process";
import { createServer } from "node:net";
import { join, relative, sep } from "node:path";
import type { Connect, Plugin, ViteDevServer } from "vite";

/** What the server answers: all but the app's files, and the one page below them that it makes. */
const FOR_SERVER = /^\/(?!app(?:[/?]|$))|^\/app\/check(?:[?]|$)/;
/** Below the repository: what the server reads once, as it starts. */
const WATCHED = ["server/bradawl", "checklists"];
const IGNORED = /[/\\](?:bundled|__pycache__)(?:[/\\]|$)/;
/** What the phone app itself runs or shows, so that an open page must begin anew. */
const IN_THE_APP = /^(?:server\/bradawl\/judge|checklists)\//;
const SETTLED_MS = 150;
const ASKED_EVERY_MS = 100;

/** A port that is free now. */
async function freePort(): Promise<number> {
  return await new Promise((resolve, reject) => {
    const listener = createServer();
    listener.once("error", reject);
    listener.listen(0, "127.0.0.1", () => {
      const address = listener.address();
      const port = typeof address === "object" && address !== null ? address.port : 0;
      listener.close(() => resolve(port));
    });
  });
}

/** One `bradawl serve` at a time. */
class ServerProcess {
  private child: ChildProcess | null = null;
  private output = "";

  constructor(
    private readonly repository: string,
    private readonly port: number,
  ) {}

  start(): void {
    this.output = "";
    const python = join(this.repository, ".venv/bin/python");
    const command = ["-m", "bradawl.cli", "serve", "--port", String(this.port)];
    const child = spawn(python, command, { cwd: this.repository });
    this.child = child;
    const keep = (chunk: Buffer) => {
      if (this.child === child) this.output = (this.output + chunk).slice(-10_000);
    };
    child.stdout.on("data", keep);
    child.stderr.on("data", (chunk: Buffer) => {
      keep(chunk);
      process.stderr.write(chunk);
    });
    child.on("error", (error) => {
      this.output += `${python}: ${error.message}\n`;
    });
  }

  /** Ends when the process has ended, so that the port is free. */
  async stop(): Promise<void> {
    const { child } = this;
    this.child = null;
    if (child === null || child.exitCode !== null || child.signalCode !== null) return;
    await new Promise((resolve) => {
      child.once("exit", resolve);
      child.kill("SIGKILL"); // a crash loses nothing, and waiting for open connections takes long
    });
  }

  kill(): void {
    this.child?.kill("SIGKILL");
  }

  /** Waits until it listens. Null, or what it said when it ended instead. */
  async listening(): Promise<string | null> {
    for (;;) {
      const { child } = this;
      if (child?.pid === undefined || child.exitCode !== null || child.signalCode !== null) {
        if (child !== null) return this.output;
      } else if (await this.answers()) return null;
      await new Promise((resolve) => setTimeout(resolve, ASKED_EVERY_MS));
    }
  }

  private async answers(): Promise<boolean> {
    try {
      await fetch(`http://127.0.0.1:${this.port}/app/manifest.webmanifest`, { method: "HEAD" });
      return true;
    } catch {
      return false;
    }
  }
}

/** Start the server anew after a change of what it reads, once for changes that come together. */
function restartOnChange(vite: ViteDevServer, repository: string, server: ServerProcess): void {
  let settling: NodeJS.Timeout | undefined;
  let isOfTheApp = false;
  let restarted = Promise.resolve();
  const restart = async () => {
    await server.stop();
    server.start();
    vite.config.logger.info("The server starts anew.", { timestamp: true });
    if (!isOfTheApp) return;
    isOfTheApp = false;
    if ((await server.listening()) === null) vite.hot.send({ type: "full-reload" });
  };
  vite.watcher.add(WATCHED.map((folder) => join(repository, folder)));
  vite.watcher.on("all", (_event, file) => {
    const path = relative(repository, file).replaceAll(sep, "/");
    if (!WATCHED.some((folder) => path.startsWith(`${folder}/`)) || IGNORED.test(path)) return;
    isOfTheApp ||= IN_THE_APP.test(path);
    clearTimeout(settling);
    settling = setTimeout(() => {
      restarted = restarted.then(restart); // one after the other: the port is the same
    }, SETTLED_MS);
  });
}

/** Waits for the server before the proxy asks it, or answers why there is none. */
function waitForServer(server: ServerProcess): Connect.NextHandleFunction {
  return (request, response, next) => {
    if (!FOR_SERVER.test(request.url ?? "")) return next();
    void server.listening().then((complaint) => {
      if (complaint === null) return next();
      response.writeHead(503, { "Content-Type": "text/plain; charset=utf-8" });
      response.end(`The server did not start; change a file and it tries again.\n\n${complaint}`);
    });
  };
}

/** The server beside Vite's own, while somebody develops; tests and the build know nothing of it. */
export function devServer(repository: string): Plugin {
  let server: ServerProcess;
  return {
    name: "bradawl-dev-server",
    apply: (_config, { command, mode, isPreview }) =>
      command === "serve" && mode === "development" && isPreview !== true,
    async config() {
      const port = await freePort();
      server = new ServerProcess(repository, port);
      const target = `http://127.0.0.1:${port}`;
      return { server: { proxy: { [FOR_SERVER.source]: { target, xfwd: false } } } };
    },
    configureServer(vite) {
      server.start();
      restartOnChange(vite, repository, server);
      process.on("exit", () => server.kill());
      vite.httpServer?.once("close", () => server.kill());
      vite.middlewares.use(waitForServer(server));
    },
  };
}
