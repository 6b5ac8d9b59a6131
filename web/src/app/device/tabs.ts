/** Other tabs of this phone look at the same storage: they are told what has changed. */

/** What stands for this phone's own chain, beside ids of visits. */
const CHAIN = "chain";

const tabs = new BroadcastChannel("bradawl");
let onVisit: (visit: string) => void = () => undefined;
let onChain: () => void = () => undefined;

tabs.onmessage = ({ data }: MessageEvent<string>) => {
  if (data === CHAIN) onChain();
  else onVisit(data);
};

/** Called with the id of a visit that another tab has changed. */
export function whenTabsTell(tell: (visit: string) => void): void {
  onVisit = tell;
}

/** Called when another tab has begun a new chain for this phone. */
export function whenTabsBegin(tell: () => void): void {
  onChain = tell;
}

export function tellTabs(visits: string[]): void {
  for (const visit of visits) tabs.postMessage(visit);
}

export function tellTabsOfChain(): void {
  tabs.postMessage(CHAIN);
}
