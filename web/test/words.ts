/** Before every test: the words of the default locale, as the app has them before it draws. */

import { catalogue } from "../src/app/text/catalogue";
import { FILES } from "../src/app/text/catalogue-files";

catalogue.files = FILES;
await catalogue.load();
// what cannot be said fails the test that asks for it
catalogue.tell = (problem) => {
  throw problem;
};
