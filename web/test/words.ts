/** Before every test: the words of the default locale, as the app has them before it draws. */

import { catalogue, type Files, type Patterns } from "../src/app/text/catalogue";
import { FILES } from "../src/app/text/catalogue-files";

catalogue.files = FILES;
await catalogue.load();
// and what is said where somebody decides, which comes later
await catalogue.also(
  import.meta.glob<Patterns>("../../server/bradawl/language/locales/*/decide.ftl", {
    import: "default",
  }) as Files,
);
// what cannot be said fails the test that asks for it
catalogue.tell = (problem) => {
  throw problem;
};
