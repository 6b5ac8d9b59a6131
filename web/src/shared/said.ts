/** What a person is told, before anybody says it: errors carry an id, the screen has the words. */

import type { MessageArgument, Messages } from "./messages";

export type MessageId = keyof Messages & string;

/** The ids of messages that want no arguments. */
export type PlainId = { [Id in MessageId]: Messages[Id] extends null ? Id : never }[MessageId];

/** A message of the catalogue with its arguments. */
export interface Message {
  id: MessageId;
  args?: Record<string, MessageArgument>;
}

/** A message, or a sentence that somebody else has finished, such as the server. */
export type Said = Message | string;

/** What a message wants beside its id. */
export type ArgumentsOf<Id extends MessageId> = Messages[Id] extends null ? [] : [Messages[Id]];

export function message<Id extends MessageId>(id: Id, ...[args]: ArgumentsOf<Id>): Message {
  return args === undefined ? { id } : { id, args: args as Record<string, MessageArgument> };
}

/** An error that a person may be told of. */
export class Told extends Error {
  constructor(
    readonly said: Said,
    options?: ErrorOptions,
  ) {
    super(typeof said === "string" ? said : said.id, options);
  }
}

/** What to tell of an error; of one that nobody foresaw, its own text. */
export function saidOf(problem: unknown): Said {
  if (problem instanceof Told) return problem.said;
  return problem instanceof Error ? problem.message : String(problem);
}
