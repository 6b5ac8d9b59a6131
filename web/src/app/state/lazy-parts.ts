/** Parts of the app that are no part of a start: they are fetched when somebody first looks. */

import { type ReadonlySignal, signal } from "@preact/signals";
import { useEffect } from "preact/hooks";

export interface LazyParts<P> {
  /** Within a component: the parts, null while they come or where they did not. */
  use(): P | null;
  /** Whether they did not come. */
  failed: ReadonlySignal<boolean>;
  /** Ask for them, also once more. */
  fetch(): void;
}

/** Signals: whoever shows the parts is drawn anew when they come, whoever asked for them. */
export function lazyParts<P>(load: () => Promise<P>): LazyParts<P> {
  const parts = signal<P | null>(null);
  const failed = signal(false);
  const fetch = (): void => {
    failed.value = false;
    load().then(
      (loaded) => {
        parts.value = loaded;
      },
      () => {
        failed.value = true;
      },
    );
  };
  const use = (): P | null => {
    useEffect(() => {
      if (parts.peek() === null) fetch();
    }, []);
    return parts.value;
  };
  return { use, failed, fetch };
}
