/** The words of what comes after the visit, for tests of what they say. */

import { catalogue, type Patterns } from "../src/app/text/catalogue";

await catalogue.also(
  import.meta.glob<Patterns>("../../server/bradawl/language/locales/*/after.ftl", {
    import: "default",
  }),
);
