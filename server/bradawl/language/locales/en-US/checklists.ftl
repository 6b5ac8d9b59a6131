# What is wrong in a checklist's files, and what `bradawl checklists` prints. Names in `…` and
# '…' are keys and ids of the files: keep them. $hint is one of the two below
checklists-meant = did you mean '{ $name }'?
checklists-add = add it there, or name another

checklists-walk = { $area } and { $other } are both at { $number } in the walk-around; give each its own number
checklists-item-twice = the item { $item } is there twice; rename one
checklists-item-area = the item { $item } is in { $area }; start its ID with '{ $area }.'
checklists-entry-twice = the entry { $entry } is there twice; keep one of the two
checklists-no-caution = { $item }: there's no caution '{ $name }' in cautions.yaml; { $hint }
checklists-no-computation = { $item }: the judge has no computation '{ $name }'; { $hint }
checklists-item-source = { $item }: there's no source '{ $name }' in sources.yaml; { $hint }
checklists-no-name = there's no '{ $name }'; { $hint }
checklists-no-source = there's no source '{ $name }' in sources.yaml; { $hint }
checklists-no-entry = { $item }: no published list has '{ $name }'; { $hint }
checklists-no-tool = { $item }: there's no tool '{ $name }'; { $hint }
checklists-tool-named = { $item }: `how` says “{ $words }”; name { $tool } under `tools` too
checklists-tool-to-read = { $item }: nobody reads { $name } by eye; name under `tools` what it's read with
checklists-no-answer-of = { $item }: missing_if names { $name }, which no item offers; write it as item/choice
checklists-no-other = { $item }: { $key } names '{ $name }', which isn't another item; { $hint }
checklists-later = { $item } is rated at stage { $stage } but needs { $other }, which comes later ({ $later }); move one of them
checklists-no-want = '{ $name }' is neither a must-have nor a use; { $hint }
checklists-no-item = there's no item '{ $name }'; { $hint }
checklists-no-claim = there's no claim '{ $name }' in claims.yaml; { $hint }
checklists-load-never = say what puts this on the list: always, claims, calls, haul or tools
checklists-load-unknown = nothing is called '{ $name }' there; { $hint }
checklists-row-twice = { $name } stands there twice; give each its own id
checklists-no-choice = there's no choice '{ $name }' there; write one of { $offered }
checklists-settling = a row of `from` says one thing of its item: fine, known, at_least, choice, or fact with a figure or word
checklists-test-outcomes = the test “{ $test }” needs at least two outcomes
checklists-test-row = the test “{ $test }”, cause “{ $cause }”: enter { $count } percentages that add up to 100, not { $row }
checklists-test-outcome = the test “{ $test }” has no outcome “{ $name }”; write one of { $offered }
checklists-test-twice = the test “{ $test }” is there twice; give each its own ID
checklists-test-cause = the test “{ $test }” names “{ $cause }”, which is no cause
checklists-test-other = the test “{ $test }” needs a row “other” for the other causes
checklists-cause-ends = the cause “{ $cause }” leads nowhere; give it `repair`, `then`, or `harmless: true`
checklists-symptom-name = a symptom can't be called “{ $name }”; records keep something else under that name
checklists-symptom-twice = the symptom { $symptom } is in { $file } too; rename one
checklists-no-symptom = there's no symptom '{ $name }'; { $hint }
checklists-repair-choices = { $name } is for some answers alone, so it can't repair a cause; name a remedy for every answer
checklists-no-fact = { $item } has no reading or fact '{ $name }'; it has { $names }
checklists-sign-answer = { $item } has no answer '{ $name }'; write one of { $offered }
checklists-sign-twice = { $item } is a sign here twice; one look counts once, so give both the same `group`
checklists-no-remedy = there's no remedy '{ $name }'; { $hint }
checklists-lone-group = { $item }: no other item has `hold_group: { $name }`; { $hint }
checklists-circle = { $item } comes back to itself through `{ $key }`; take one link out

checklists-no-files = there's no .yaml file here; name the folder with the areas
checklists-yaml = this isn't YAML: { $why }; fix the indent, quotes, or brackets here
checklists-brackets = the brackets are nested too deep; close what was opened
checklists-utf8 = this isn't UTF-8 YAML text ({ $why }); save it as UTF-8
checklists-no-keys = the file has no keys; start it with something like `area: brakes`
checklists-alias = an alias (*name) is used; write the value out instead
checklists-key-text = a key isn't text; write a plain word as the key
checklists-key-twice = the key `{ $key }` is there twice; keep one of the two
checklists-kind = can't tell what this file is; give it exactly one of the keys { $kinds }
checklists-area-file = the area is '{ $area }'; call the file { $area }.yaml

# $where names the item or file, and the key
checklists-value-missing = { $where }: the key `{ $key }` is missing; add it
checklists-value-money = { $where }: `{ $key }` belongs in the price files, prices/REGION.yaml; write it there
checklists-value-key = { $where }: the key `{ $key }` isn't known here; take it out, or look in schema.json
checklists-value-key-near = { $where }: the key `{ $key }` isn't known here; did you mean `{ $near }`?
checklists-value-literal = { $where }: '{ $entry }' isn't allowed; write { $expected }
checklists-value-pattern = { $where }: '{ $entry }' doesn't have the right form; { $form }
checklists-value-long = { $where }: { $length } characters are too many; say it in { $limit } or fewer
checklists-value-short = { $where }: '{ $entry }' says too little; write a whole phrase
checklists-value-value = { $where }: { $why }
checklists-value-int = { $where }: '{ $entry }' isn't a whole number; write one, such as 3
checklists-value-least = { $where }: { $entry } is too low; write { $limit } or more
checklists-value-most = { $where }: { $entry } is too high; write { $limit } or less
checklists-value-bool = { $where }: '{ $entry }' is neither; write true or false
checklists-value-list = { $where }: this is the wrong kind; write a list, [a, b]
checklists-value-keys = { $where }: this is the wrong kind; write keys with values
checklists-value-text = { $where }: this is the wrong kind; write text
checklists-value-other = { $where }: { $why }; look in schema.json for what's allowed
checklists-form-item = write area.words-with-dashes in lowercase, such as brakes.front-pads
checklists-form-word = write lowercase words joined by dashes, such as front-left
checklists-form-figure = write a figure such as 3, 0.5, 1/32, or 2 1/4

checklists-locale = the locale is '{ $locale }'; put the file into locales/{ $locale }/
checklists-locale-own = { $locale } stands beside the items themselves; edit it there
checklists-text-twice = '{ $name }' is in { $file } too; keep one of the two
checklists-texts =
    { $count ->
        [one] { $locale }: { $done } of { $count } text
       *[other] { $locale }: { $done } of { $count } texts
    }
checklists-lacks = {"  "}missing: { $kinds }; --lacking { $locale } lists them
checklists-text-changed = {"  "}CHANGED { $name }: translate it again from the text as it is now
checklists-text-unknown = {"  "}UNKNOWN { $name }: no text has this ID; take it out

checklists-no-price = { $name } has no price in region { $region }; add it under `{ $table }` in prices/{ $region }.yaml
checklists-prices-twice = region { $region } has prices in { $file } too; keep one file
checklists-currency = region { $region } is priced in { $currency }; write its prices in { $right }
# a reading that wants another to be told anything by; a limit that gives way to one
checklists-wants = { $of } wants { $name }, which is no other reading of this item. Its readings: { $names }.
# $item/$name: a reading for the car's own figure
checklists-wants-unfilled = { $item }: nothing in profile.yaml fills { $name }; add a figure that does
checklists-profile-twice = { $name } is asked twice; ask it once
checklists-profile-kind = { $name }: give it choices, or readings that it fills, or text: true, and one of these alone
checklists-no-reading = there's no reading '{ $name }'; { $hint }
checklists-filled-twice = { $name } is filled by another figure already; leave it to one
checklists-fills-shape = { $name } has other units or places than { $first }; give it a figure of its own
checklists-per = per: { $name } is no count of this item. Its counts: { $names }.
checklists-each = { $name }: a remedy with per needs each (parts and hours of one more piece) in every price file, and no other has one.
checklists-kinds = { $name }: a remedy that counts wires (per: wires, where answers has wires) needs kinds (feed, safety, fuse) in every price file, and no other has them.
checklists-gauges = gauges go from thin to thick: { $thick } after { $thin } must bear more, resist less and have more area
checklists-not-priced = nothing called '{ $name }' has a price in `{ $table }`; { $hint }
checklists-price-source = a price can't come from '{ $name }'; write `assumption`, or a source of sources.yaml that was read
checklists-law-unit = { $item }: the limit of '{ $name }' is law of region { $region } but is in { $unit }; write it the way that law does, in one of { $units }
checklists-sources = { $item }: several sources are named here; name one, or one law for each region
checklists-limit-twice = { $item }: in region { $region } two limits of '{ $name }' are { $grade }; keep the stricter one, or let `applies` say which cars each counts for

checklists-covered = { $list }: { $covered } covered, { $excused } excused, { $lost } lost, { $count } in all ({ $title })
checklists-excused = {"  "}excused { $entry }: { $reason }
checklists-lost = {"  "}LOST { $entry }: give an item `covers: ["{ $list }:{ $entry }"]`, or excuse the entry with a reason
checklists-faults =
    { $count ->
        [one] { $count } fault.
       *[other] { $count } faults.
    }
checklists-sound = Sound: { $items } items in { $areas } areas, { $readings } readings, { $limits } limits, { $sources } sources; bundle { $bundle }.
checklists-command = check, describe, and count the checklist files
checklists-command-check = check the files; show line and fix
checklists-command-coverage = count the published entries that the items cover
checklists-command-schema = print the JSON Schema of the files
checklists-command-folder = folder of the files
checklists-command-lacking = list each text that this locale is missing

# Rules of one item or table; they follow its name and a colon
checklists-span-empty = the span is empty; write `from`, `to`, or both
checklists-span-backwards = the span runs backward; `from` can't be greater than `to`
checklists-reading-unit = reading '{ $name }' has no unit; give one or more of { $units }
checklists-no-unit = '{ $unit }' isn't a unit of { $quantity }; use { $units }
checklists-no-unit-text = '{ $unit }' isn't a unit of { $quantity }, which has none: it's text
checklists-reading-plausible = reading '{ $name }' has no plausible range; write plausible: [lowest, highest]
checklists-reading-usual = reading '{ $name }' says what's usual but has no second unit to mix up; take usual out
checklists-optional = { $place } is no place of this reading, so it can't be optional. Its places: { $names }.
checklists-reading-places = reading '{ $name }' names a place twice; name each once
checklists-limit-tests = a limit tests one thing, and this one tests { $count }; write one of below, above, outside, is
checklists-limit-unitless = the limit has a figure without a unit; add `unit`
checklists-choices = `choices` and the answer `choice` go together; write both or neither
checklists-one-choice = one choice isn't a choice; give at least two
checklists-no-answer = nothing can be answered; add `answers` or `readings`
checklists-there-are-none = the ones here (there are none)
checklists-limit-of = a limit is of '{ $name }', which isn't a reading here; write one of { $names }, or add the `compute` that yields it
checklists-limit-unit = the limit's unit '{ $unit }' isn't a unit of { $quantity }; use { $units }
checklists-limit-unit-text = the limit's unit '{ $unit }' isn't a unit of { $quantity }; use a test with `is`
checklists-settled-by = `settled_by` names '{ $name }', which isn't a reading here; write one of { $names }
checklists-essential = the drive home depends on it, but a usual visit doesn't ask it; take out `depth: thorough`, or call it `matters`
checklists-settles-nothing = a reading can settle only what has a limit; add `limits`
checklists-effect-on = an effect is on '{ $name }', which is no grade of a fault, choice, or limited reading here; write one of { $names }
checklists-effect-limits = `limits` and `does: limits` go together, and this effect is { $does }; write `does: limits` with at least one limit, or take `limits` out
checklists-effect-factor = `factor` and `does: lowers_value` go together, and this effect is { $does }; write both or neither
checklists-effect-share = the factor '{ $factor }' isn't a share of the value; write a decimal above 0 and below 1, such as 0.65
checklists-map-place = `body_map` names the place '{ $name }', but nothing is measured there; write one of { $names }
checklists-map-card = a card lies on no panel; give `body_map` the `panels` its answer stands for
checklists-map-nothing = nothing is measured here that the body map could show as { $show }; add `readings` with places, or write `show: card`
checklists-status = { $status } isn't any region's law; take out `region`, or say how far the law was read (read, read-secondary, memory)
checklists-fact = `fact` goes with one of below, above, outside, is; write both
checklists-want = nothing tells of this want; write `checks`, `car` or `ask`
checklists-want-car = `car` names facts of the car that are one of few words; take out cylinders, year, uses, region
checklists-condition = a condition tests one thing; write one of at_least, choice, fact
checklists-combination = the combination has no condition; write `all` or `any`
checklists-sign = { $item } is seen in { $with_percent }% with it and { $without_percent }% without; a sign speaks for its history, so with_percent must be the higher
checklists-figures = the three figures don't go up; write low, likely, high in that order
checklists-reading-twice = the reading '{ $name }' is there twice; give each its own ID
checklists-choice-twice = the choice '{ $name }' is there twice; give each its own ID
checklists-remedy-twice = the repair '{ $name }' is there twice; give each its own ID
checklists-no-procedure = There's no procedure '{ $name }'; { $hint }
checklists-step-reads = { $test }: a step reads "{ $name }", which neither the test nor its check takes. They take: { $names }.
