/** The check page: everything is in the file, so it works without a network, from anywhere. */

import "../../../../server/bradawl/desk/static/tokens.css";
import "./check.css";

import { render } from "preact";
import { bare, sayLanguages } from "../../app/text/tongues";
import { type Check, check, digitsOf } from "../report/verdict";
import { App } from "./app";
import { readShop, readWords } from "./blocks";
import { catalogue, learn, text } from "./words";

async function start(): Promise<void> {
  const root = document.getElementById("check");
  if (root === null) return;
  const shop = readShop();
  sayLanguages();
  await learn(readWords());
  document.documentElement.lang = catalogue.formats;
  document.title = bare(text("check-title"));
  root.textContent = "";
  render(<App shop={shop} />, root);
}

void start();

/** For tests and programs that check many files: the verdict on a file's bytes. */
export async function checkBytes(
  bytes: Uint8Array<ArrayBuffer>,
  typed = "",
): Promise<Pick<Check, "verdict" | "sentences">> {
  const { verdict, sentences } = await check(bytes, { ...readShop(), typed: digitsOf(typed) });
  return { verdict, sentences };
}

Object.assign(window, { checkBytes });
