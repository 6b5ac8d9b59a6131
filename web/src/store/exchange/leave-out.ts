/** Going on without an own entry that the server does not take. */

import type { Ask } from "../../shared/judge-messages";
import { beginChain } from "../log/continuation";
import type { Log } from "../log/log";

/** Write what is unsent anew without one entry; the visits that are now otherwise. */
export async function leaveOut(log: Log, ask: Ask, seq: number): Promise<string[]> {
  const { device } = await log.identity.get();
  const { acknowledged } = await log.facts.sync();
  const head = (await log.chains.hashAt(device, acknowledged)) ?? "";
  const continuing = { device, seq: acknowledged, head, why: "lost" } as const;
  return beginChain(log, ask, continuing, { device, after: acknowledged, leaveOut: [seq] });
}
