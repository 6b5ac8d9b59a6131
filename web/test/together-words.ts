/** The words that come with a second phone, for tests of what they say. */

import { catalogue, type Patterns } from "../src/app/text/catalogue";

await catalogue.also(
  import.meta.glob<Patterns>("../../server/bradawl/language/locales/*/together.ftl", {
    import: "default",
  }),
);
