/** The one storage of this page, and what reads and writes it. */

import { Store } from "../../store/database";
import { Log } from "../../store/log/log";
import { Photos } from "../../store/photos";

export const store = new Store();
export const log = new Log(store);
export const photos = new Photos(store);
export const facts = log.facts;
