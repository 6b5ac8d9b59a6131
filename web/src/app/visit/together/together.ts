/** The open visit as two phones see it: who is there, what came, and whose turn each stage is. */

import { computed, effect, type ReadonlySignal, signal } from "@preact/signals";
import { inspection, type LogEvent } from "../../../shared/event";
import { stampTime } from "../../../store/log/clock";
import { ARCHIVED, DELETED } from "../shelf";
import type { Visit } from "../visit";
import { type Came, cameSince } from "./came";
import { eventsAfter, knownDevices, topsOf } from "./known-devices";
import { deviceOf, type KnownDevices, nameChange, People } from "./people";
import { turnsOf } from "./stages-taken";

/** An older visit is read on a second phone, not walked by two. */
const WALK_MS = 24 * 3_600_000;

export class Together {
  private readonly known = signal<KnownDevices | null>(null);
  /** Who wrote here; null until the log was asked. */
  readonly people: ReadonlySignal<People | null>;
  /** What others wrote since this phone's person last looked. */
  readonly came: ReadonlySignal<Came[]>;
  /** The same as entries: how they are rated may be known later. */
  readonly fresh = signal<LogEvent[]>([]);
  private upTo: Readonly<Record<string, number>> = {};
  private isNamed = false;

  constructor(readonly visit: Visit) {
    let former: { known: KnownDevices; people: People } | null = null;
    this.people = computed(() => {
      const known = this.known.value;
      if (known === null) return null;
      const people = new People(known, visit.cells.value);
      // the same people stay the same, or every tap would draw again all that names them
      if (former?.known === known && former.people.key === people.key) return former.people;
      former = { known, people };
      return people;
    });
    const lines = computed(() => this.cameOf(this.fresh.value));
    this.came = computed(() => lines.value.value);
    // what others wrote, told by its stamps: own taps are no reason to look
    const others = computed(() =>
      [...(this.people.value?.last ?? [])].map(([phone, at]) => `${phone} ${at}`).join(),
    );
    effect(() => {
      others.value;
      void this.look().catch(() => undefined);
    });
    effect(() => {
      const people = this.people.value;
      if (people !== null) visit.whose.value = turnsOf(visit, people);
    });
  }

  /** Whether another person's phone has this visit. */
  get isTwo(): boolean {
    return (this.people.value?.others.length ?? 0) > 0;
  }

  private async look(): Promise<void> {
    const { log } = this.visit.services;
    const known = await knownDevices(log);
    if (JSON.stringify(known) !== JSON.stringify(this.known.peek())) this.known.value = known;
    const people = this.people.peek();
    if (people === null || people.others.length === 0) return;
    const devices = people.devices.filter((one) => people.others.includes(people.phoneOf(one)));
    const looked = await this.lookedUpTo(people, devices);
    const events = await eventsAfter(log, inspection(this.visit.id), devices, looked);
    const upTo: Record<string, number> = { ...looked };
    for (const { device, seq } of events) upTo[device] = Math.max(seq, upTo[device] ?? 0);
    this.upTo = upTo;
    this.fresh.value = events;
    await this.nameOwn(people, known.own);
  }

  /** What entries of others say, as the record stands. */
  cameOf(events: LogEvent[]): ReadonlySignal<Came[]> {
    const people = this.people.value;
    return people === null ? signal([]) : cameSince(this.visit, people, events);
  }

  /** Whoever joins a visit has not missed what was there before; whoever began it has. */
  private async lookedUpTo(people: People, devices: string[]): Promise<Record<string, number>> {
    const { log } = this.visit.services;
    const kept = (await log.facts.read("looked"))?.[this.visit.id];
    if (kept !== undefined) return kept;
    const began = this.visit.besideItems()["about/started"]?.at ?? "";
    const looked = people.isOwn(deviceOf(began)) ? {} : await topsOf(log, devices);
    await this.keep(looked);
    return looked;
  }

  private async keep(looked: Readonly<Record<string, number>>): Promise<void> {
    const { facts } = this.visit.services.log;
    const kept = (await facts.read("looked")) ?? {};
    await facts.write("looked", { ...kept, [this.visit.id]: { ...looked } });
  }

  /** The person has seen what came. */
  async looked(): Promise<void> {
    this.fresh.value = [];
    await this.keep(this.upTo);
  }

  private isWalkedNow(people: People): boolean {
    const last = Math.max(...people.others.map((one) => stampTime(people.last.get(one) ?? "")));
    const isPutAway = [DELETED, ARCHIVED].some((put) => this.visit.value(put) !== null);
    return !isPutAway && this.visit.seals().length === 0 && Date.now() - last < WALK_MS;
  }

  /** Whether the person should be asked for a name. */
  asksName(): boolean {
    const people = this.people.value;
    if (people === null || people.others.length === 0 || people.ownName() !== "") return false;
    const { inspector } = this.visit.services.state.preferences.value;
    return inspector === "" && this.isWalkedNow(people);
  }

  /** A name that this phone has is said by itself: so the other hears that it is there. */
  private async nameOwn(people: People, own: string): Promise<void> {
    const { inspector } = this.visit.services.state.preferences.peek();
    if (this.isNamed || inspector === "" || people.ownName() !== "") return;
    if (!this.isWalkedNow(people)) return;
    this.isNamed = true;
    await this.visit.put([nameChange(own, inspector)], null, false);
  }

  /** Record the name of this phone's person, for this visit and the next. */
  async sayName(name: string, told: string): Promise<void> {
    const { log, state } = this.visit.services;
    const { device } = await log.identity.get();
    this.isNamed = true;
    await state.setPreferences({ inspector: name });
    await this.visit.put([nameChange(device, name)], told, false);
  }
}

const known = new WeakMap<Visit, Together>();

export function togetherOf(visit: Visit): Together {
  const there = known.get(visit) ?? new Together(visit);
  known.set(visit, there);
  return there;
}
