/** Other tabs of this phone look at the same storage: they are told what has changed. */

/** What stands for this phone's own chain, beside ids of visits. */
const CHAIN = "chain";

export interface TabListener {
  /** Another tab has changed the visit with this id. */
  visitChanged(visit: string): void;
  /** Another tab has begun a new chain for this phone. */
  chainBegun(): void;
}

export class Tabs {
  constructor(private readonly channel: BroadcastChannel) {}

  listen(listener: TabListener): void {
    this.channel.onmessage = ({ data }: MessageEvent<string>) => {
      if (data === CHAIN) listener.chainBegun();
      else listener.visitChanged(data);
    };
  }

  tellVisits(visits: string[]): void {
    for (const visit of visits) this.channel.postMessage(visit);
  }

  tellChain(): void {
    this.channel.postMessage(CHAIN);
  }

  close(): void {
    this.channel.close();
  }
}
