# What the ratings say: reasons, figures, the drive home, what to check next, money.
# $name is a reading or a computed figure with its place: "Tread depth, front left".
# $item is the title of a check, as the checklist has it.

# A reading's or a figure's name with its place
judge-at = { $name }, { $place }
judge-fact = { $name }: { $value }
# the same, where sentences follow
judge-fact-noted = { $name }: { $value }.

# ---- Limits ----------------------------------------------------------------------------------
judge-limit-below = { $name }: { $value } is under { $limit }.
judge-limit-above = { $name }: { $value } is over { $limit }.
judge-limit-outside = { $name }: { $value } is outside { $low } to { $high }.
# $value is a word: "worn evenly"
judge-limit-is = { $name }: { $value }.
# $name alone says it: "Dent, left front door"
judge-limit-yes = { $name }.
judge-within-below = { $name }: { $value }, at least { $limit }: OK.
judge-within-above = { $name }: { $value }, at most { $limit }: OK.
judge-within-outside = { $name }: { $value }, { $low } to { $high }: OK.
judge-within-is = { $name }: { $value }.
judge-within-all = Every reading is within its limits.
# A limit by itself
judge-beyond-below = under { $limit }
judge-beyond-above = over { $limit }
judge-beyond-outside = outside { $low } to { $high }
# Further readings beyond the same limit
judge-reason-also = Also { $others }.
judge-also = { $value }
judge-also-at = { $place } { $value }
judge-also-other = the other reading, { $value }
judge-also-other-at = { $place } { $value } (the other reading)

# ---- Other reasons ---------------------------------------------------------------------------
judge-reason-choice = { $choice }.
# $name: "Maker's set pressure"; where it was read
judge-reason-figure = { $name }: { $value }.
judge-reason-figure-manual = { $name }: { $value }, from the manual.
judge-reason-figure-sticker = { $name }: { $value }, from the sticker.
judge-reason-figure-part = { $name }: { $value }, stamped on the part.
judge-reason-figure-practice = { $name }: { $value }, somebody's word or practice.
# $note: what the shop wrote of the model
judge-reason-look-note = Look here first: { $note }.
# $item: title of a check
judge-reason-look = Look here first, the shop says of this model: { $item }.
# $claim: "New brakes", or a person's own words
judge-reason-claim-ad = The ad says: { $claim }.
judge-reason-claim-seller = The seller says: { $claim }.
judge-reason-claim-owner = An earlier owner says: { $claim }.
judge-reason-claim-shop = A shop says: { $claim }.
judge-reason-claim-other = Somebody says: { $claim }.
judge-reason-implied = Not asked: "{ $item }" answers it.
# a sentence of the checklist
judge-reason-combination = { $reason }
# $want: "Tows a trailer", "Rust in the frame", or a person's own words
judge-reason-want-must = Must-have: { $want }.
judge-reason-want-leave = Leave if: { $want }.
# a check and the grade from which on it counts
judge-want-check = { $item }: { $grade } or worse
# $most: money, or a distance
judge-want-asking = Asks more than { $most }
judge-want-work = Work comes to more than { $most }
judge-want-odometer = More than { $most } on the odometer
judge-want-leave-true = You said to leave if: { $want }. It came true.
judge-want-leave-by = You said to leave if: { $want }. { $item }: { $why }
judge-want-must-true = It lacks a must-have: { $want }.
judge-want-must-by = It lacks a must-have: { $want }. { $item }: { $why }
judge-conflict = { $reason }
# a question of the checklist
judge-question = { $question }
judge-reason-person = Inspector's call: { $grade }.
judge-reason-person-why = Inspector's call: { $grade } ({ $why }).
# the same as a sign of what may have happened: "Panel gaps: OK."
judge-sign-person = { $grade }.
judge-sign-person-why = { $grade } ({ $why }).
# somebody rated it OK where only the car's own figure could say so; $readings: "Maker's toe"
judge-reason-eye = OK by eye. There's no figure for this car to hold it against: { $readings }.
judge-reason-eye-why = OK by eye ({ $why }). There's no figure for this car to hold it against: { $readings }.
judge-reason-unseen = Not checked.
judge-reason-unseen-why = Not checked: { $why }.
# why somebody rated it so at the desk: what symptom and tests point to
judge-cause-found =
    { $count ->
        [one] { $symptom }: { $cause }, { $chance } after 1 test at the desk
       *[other] { $symptom }: { $cause }, { $chance } after { $count } tests at the desk
    }
# the same, since it was found on a phone too
judge-cause-tested =
    { $count ->
        [0] { $symptom }: { $cause }
        [one] { $symptom }: { $cause }, found after 1 test
       *[other] { $symptom }: { $cause }, found after { $count } tests
    }
# the name of a job
judge-cause-job = { $cause } ({ $symptom })
judge-wish = Wish
judge-together = marked OK together with the rest
judge-erased-reason = the reason was erased on request

# ---- What could not be used ------------------------------------------------------------------
judge-problem-does-not-fit = This is answered, but the car isn't supposed to have it. Check the car's details.
judge-problem-unknown-item = There's an answer to "{ $item }", which isn't in this checklist. It's kept and not rated; another version of the checklist may have it.
judge-problem-unknown-reading = There's a reading "{ $reading }" that this check doesn't have. It's kept and not rated; take one of those listed here.
judge-problem-unknown-place = { $name }: no place called { $place } here. Take it at one of the places listed.
judge-problem-shape = { $name }: this reading is damaged. Take it again.
judge-problem-empty = { $name }: nothing was typed. Type what you read, or clear it.
judge-problem-unreadable-date = { $name }: "{ $typed }" isn't a date. Write it like 2019-06-30 or 2019-06.
judge-problem-unreadable-number = { $name }: "{ $typed }" isn't a number. Write it like 2.5 or 5/32.
# $meanings: "0.1875 mm or 0.1875 in"
judge-problem-doubt = { $name }: { $meanings }? It isn't rated until someone says which.
judge-problem-unit = { $name }: the unit "{ $unit }" doesn't measure this. Use { $units }.
judge-problem-implausible = { $name }: { $typed } is hard to believe; expect { $low } to { $high }. Look again, and check the unit.
# a voltage below 0; $swapped: the same without its minus
judge-problem-leads = { $name }: { $typed } means the meter's leads were the other way around. On a positive-ground car the red lead goes to ground. Swap them; if it then shows { $swapped }, type that.
judge-problem-date-code = { $name }: "{ $typed }" isn't a date code. It's the last four digits: week 01 to 53, then the year.
judge-problem-date-code-future = { $name }: code { $typed } is in the future. Read it again: two digits of week, then two of year.
judge-problem-future = { $name }: that day hasn't come yet. Check the year.
judge-problem-odometer = { $name }: that's more than the odometer shows now. Read both again.
judge-problem-pedal = { $name }: a pressed pedal can't be farther from the floor than at rest. Measure both again, from the same spot.
# Half measured is not measured. $name: a reading's title; $places: "front left and rear left"
judge-problem-incomplete =
    { $missing ->
        [one] { $name }: { $count } of { $total } measured; { $places } is missing.
       *[other] { $name }: { $count } of { $total } measured; { $places } are missing.
    }
# $places: "3 and 4"
judge-problem-incomplete-cylinders =
    { $missing ->
        [one] { $name }: { $count } of { $total } cylinders measured: { $places } is missing.
       *[other] { $name }: { $count } of { $total } cylinders measured: { $places } are missing.
    }
judge-problem-cylinders-unknown =
    { $count ->
        [one] { $name }: one cylinder measured. Say in the car's details how many the engine has.
       *[other] { $name }: { $count } cylinders measured. Say in the car's details how many the engine has.
    }
# $readings: titles of readings
judge-problem-incomplete-readings = Still to measure: { $readings }.
# $readings: titles of readings for the car's own figures: "Maker's set pressure"
judge-problem-no-figure = No figure for this car: { $readings }. Without it this isn't rated OK.
# sentences follow: what common practice says of what was measured
judge-problem-no-figure-practice = No figure for this car: { $readings }. Without it this isn't rated OK. By practice alone:
judge-problem-no-polarity = No figure for this car: minus or plus on the body? Ask the manual, the sticker by the battery or how the generator is marked, and say so in the car's details. After 1970 practice says minus; it isn't rated by that.
judge-problem-no-order = No figure for this car: its firing order. It's often cast into the intake or on a sticker under the hood. Say it in the car's details.
judge-problem-firing-order = { $name }: "{ $typed }" doesn't name every cylinder once. Write it like 1-3-4-2.
judge-problem-firing-backward = { $name }: that's the firing order read against the rotor. See which way the rotor turns, and write it down in that direction.
judge-problem-cylinders = { $name }: "{ $typed }" doesn't name cylinders of this engine. Write them like 5, 7, or none.
judge-problem-riveted = { $name }: this car's linings are riveted. Over the shoe says nothing of what's left above the rivet heads: measure from there.
# ---- What practice says where the car's own figure isn't known, and where the maker's stands ----
judge-practice-none = Look for it in the manual, on stickers and on the part itself.
judge-practice-camber = Common practice, no source: within { $figure } of straight up, both sides of an axle within half a degree. The maker's range is in the manual under wheel alignment.
judge-practice-caster = Common practice, no source: up to { $figure } to the rear, both sides within half a degree. The maker's range is in the manual under wheel alignment.
judge-practice-compression = Common practice, no source: at least { $figure }, and the lowest cylinder no less than three quarters of the highest. The maker's least is in the manual under engine.
judge-practice-drum = Common practice, no source: a drum is done about { $figure } over its diameter when new. The largest is cast or stamped on the drum: MAX DIA.
judge-practice-fuel = From memory, no source read: port injection runs at { $figure } or more, one injector at far less, continuous injection at about twice that. The maker's is in the manual, often on a tag by the rail or the regulator.
judge-practice-oil = Common practice, no source: { $figure } for each 1,000 rpm, hot. The maker's figure and its speed are in the manual under lubrication.
judge-practice-rotor = Common practice, no source: most rotors are done about { $figure } below their thickness when new. The discard thickness is stamped on the hat or the edge: MIN TH.
judge-practice-sensor = Common practice, no source: many read about { $figure } at room temperature, and a tenth of it hot. The maker's table is in the manual under fuel injection; three points of it are enough.
judge-practice-sticker = Common practice, no source: about { $figure } on most cars. The sticker is on the driver's door jamb, the glove box lid or the fuel door. What's on the tire's sidewall is the most it may hold, and no figure for this car.
judge-practice-thermostat = Common practice, no source: about { $figure } from the 1970s on, less before. It's stamped on the thermostat's flange.
judge-practice-timing = Common practice, no source: from the dead center to { $figure } before it at idle. The maker's is on the emissions sticker under the hood, with its speed and which hose to take off.
judge-practice-toe = Common practice, no source: from straight to { $figure } in with rear drive, about straight with front drive. The maker's is in the manual under wheel alignment.
judge-problem-table = { $name }: three points are needed, and the resistance must fall as it gets warmer. Read the table again.
judge-problem-volts = { $name }: is it a 6-volt car? Say so in the car's details. It isn't rated until then.
judge-problem-compute = This version can't work out "{ $kind }". Update it.
judge-problem-limit-unit = { $name }: the checklist's limit ({ $limit }) measures something else. Have its owner fix it.
judge-problem-grade = There's a rating that doesn't exist. Use { $grades }.
judge-problem-choice = There's an answer that this check doesn't offer. Pick one that it does.
judge-problem-why-wanted = Measured: { $measured }. To call it { $given }, say why.
judge-problem-why-wanted-again = Measured since you rated it: { $measured }. To call it { $given }, say why.
judge-problem-contradiction-read = The answer says OK, and the reading says "{ $grade }". Which is right? Change the other, or say why both are.
judge-problem-contradiction-chosen = The answer says "{ $grade }", and the reading is within its limits. Which is right? Change the other, or say why both are.
judge-problem-why-unseen = Say why it wasn't checked.

# ---- The four answers: buy, drive, price, now ------------------------------------------------
judge-buy-buy = Buy it.
judge-buy-up-to = Buy it up to { $top }.
judge-buy-not-until = Don't buy it until this is cleared.
judge-buy-walk = Walk away.
judge-buy-walk-price = Walk away: it costs more than it will be worth.
judge-buy-too-little = Haven't seen enough to say.
judge-buy-no-value = Can't say yet what to pay.
# $why: the reason of the rating, a sentence
judge-buy-ends = { $item }: That ends it.
judge-buy-ends-why = { $item }: { $why }
judge-buy-stops = { $item }: Not cleared.
judge-buy-stops-why = { $item }: { $why }
judge-buy-lowers = { $item }: It lowers what the car is worth.
judge-buy-lowers-why = { $item }: { $why } It lowers what the car is worth.
judge-claim-claimed = No proof yet: counts as not done.
judge-claim-looks = The checks that tell were fine.
# $why: a sentence
judge-claim-against = { $item }: { $why }
judge-claim-seen = Seen on the car, without a receipt.
judge-claim-proven = Proven by a photo.
judge-claim-false = Found to be false.
judge-claim-false-by = False. { $item }: { $why }
judge-claim-lie-by = You were told "{ $claim }". { $item }: { $why }
# $lookup: "Lien record"
judge-lookup-bad = { $lookup }: the look-up was bad. It's paperwork to clear up.
judge-lookup-stops = { $lookup }: the look-up was bad. Clear it up before you pay anything.
judge-now-lookup = Clear up with the office that keeps it: { $lookup }.
judge-lookup-old =
    { $count ->
        [one] Looked up { $count } day ago: look again.
       *[other] Looked up { $count } days ago: look again.
    }
judge-lookup-undated = Nobody noted when: look again.
judge-claim-lie = You were told "{ $claim }", and it's not so.
# $title: "Crash damage"; $signs: "Paint thickness, Overspray, and 2 more"
judge-signs-suspected = { $title } suspected, by: { $signs }. It lowers what the car is worth.
judge-signs-likely = { $title } likely, by: { $signs }. It lowers what the car is worth.
judge-signs-strong = { $title }, strong signs: { $signs }. It lowers what the car is worth.
judge-drive-drive = Drive it home.
judge-drive-limits = Drive it easy.
judge-drive-trailer = Trailer it.
judge-spoken-price = Repairs about { $repairs }; buy it up to { $top }.
# $papers: what title work, fees and the like cost
judge-spoken-price-papers = Repairs about { $repairs }, paperwork about { $papers }; buy it up to { $top }.
judge-spoken-price-only-papers = Paperwork about { $papers }; buy it up to { $top }.
judge-spoken-price-plain = Buy it: it's worth up to { $top }.
judge-spoken-price-alone = Buy it up to { $top }.
judge-drive-not-cleared = Don't know yet whether it can be driven.
# Below the answer of today, once work has mended something; $verdict: "Trailer it."
judge-found-on = At the inspection on { $date }: { $verdict }
judge-found = At the inspection: { $verdict }
judge-fault-found = { $item }: Needs fixing.
judge-fault-found-why = { $item }: { $why }
judge-facts-more =
    { $count ->
        [one] And one thing more.
       *[other] And { $count } things more.
    }
# $measured, $given: grades; $why: what the person wrote
judge-overruled = { $item }: measured “{ $measured }”, but called “{ $given }”.
judge-overruled-why = { $item }: measured “{ $measured }”, but called “{ $given }”: { $why }.
# $question: a sentence or two
judge-now-ask = { $item }: { $question }
judge-now-settle = { $item }: two of you answered it differently. Look again; until then the worse counts.
# after the overruled ones that are named
judge-overruled-more =
    { $count ->
        [one] One more was called milder than measured.
       *[other] { $count } more were called milder than measured.
    }
# $items: "Lien and its release, Title brands, and 4 more"
judge-now-look-up = Before you pay, check: { $items }.
# asked for nothing
judge-now-free = It costs nothing: take it, title signed over to you.
# the repairs could eat all that it's worth
judge-now-little = Offer next to nothing: the work could eat all it's worth.
judge-now-pay = Pay what's asked, { $opening }.
judge-now-walk = Thank them and go.
judge-now-clear = Get this cleared before any money changes hands: { $item }.
judge-now-check = Next, check: { $item }.
judge-now-offer = Open at { $opening }.
judge-now-value = Say what a good one is worth.
judge-now-trailer = Line up a trailer.

# ---- May it be driven home? ------------------------------------------------------------------
judge-answer-drive = Drive it home. Nothing that was checked speaks against it.
# $limits: "in daylight only and no farther than 30 mi"
judge-answer-limits = Drive it easy: { $limits }.
judge-answer-limits-slow = Drive it easy: go slow, and stop to check.
judge-answer-not-cleared =
    { $count ->
        [one] Don't know yet: one check that the drive depends on isn't done.
       *[other] Don't know yet: { $count } checks that the drive depends on aren't done.
    }
# $items: "Brake lines, Tread depth, and 4 more"
judge-answer-trailer-dangerous = Trailer it. Unsafe: { $items }.
judge-answer-trailer-immobile = Trailer it. It won't make it, or driving ruins it: { $items }.
judge-answer-trailer-law = Trailer it. Not legal to drive: { $items }.
judge-items-more = { $count } more
# $ways: "dark and wet"
judge-answer-trailer-hard = Trailer it. There are faults to fix first, and the way home is { $ways }.
judge-way-dark = dark
judge-way-wet = wet
judge-way-motorway = on the highway
judge-way-far = far
judge-easy-dark = in daylight only
judge-easy-wet = on a dry road only
judge-easy-motorway = off the highway, no faster than { $speed }
judge-easy-far = no farther than { $distance }
judge-easy-fast = no faster than { $speed }
judge-easy-rear-seat = nobody in the rear seat
judge-easy-towing = nothing in tow
judge-easy-load = no load
judge-answer-use = Until that's fixed: { $limits }.
# the way home has what the drive must leave out
judge-answer-wait = Your way home is { $ways }: wait, take another way, or trailer it.
judge-drive-caution = This doesn't replace an inspection by a licensed shop. State and local law decide whether the car may be on the road: registration, insurance, inspection where the state has one.
# $why: the reason of the rating, a sentence
judge-drive-unsafe = { $item }: Unsafe. { $why }
judge-drive-immobile = { $item }: It won't make it home, or driving ruins it. { $why }
judge-drive-overruled = { $item }: Measured bad, and somebody called it milder. { $why }
judge-drive-use = { $item }: Needs fixing before it's used. { $why }
judge-drive-law = { $item }: Not legal to drive. { $why }
judge-drive-major = { $item }: Needs fixing. { $why }
judge-drive-fault = { $item }: Needs fixing.
judge-drive-unseen = { $item }: Not checked, and the drive depends on it.
judge-drive-open = { $item }: Not checked.
# $grade: "Unsafe"
judge-drive-same = { $item }: { $grade }, same reason.

# ---- What may have happened to the car --------------------------------------------------------
# $title: "Flood"; $done of $total signs were looked at
judge-history-against = { $title }: the signs speak against it. { $done } of { $total } signs looked at.
judge-history-not-excluded = { $title }: can't be ruled out. { $done } of { $total } signs looked at.
judge-history-suspected = { $title }: suspected. { $done } of { $total } signs looked at.
judge-history-likely = { $title }: likely. { $done } of { $total } signs looked at.
judge-history-strong = { $title }: strong signs of it. { $done } of { $total } signs looked at.
judge-history-looked-at = Looked at.

# ---- What was checked, and what is next -------------------------------------------------------
# $share: "65%"
judge-coverage = { $done } of { $total } checks done: { $share } of what matters.
judge-not-reached = Not reached.
# one reason for all that was left of a part of the walk
judge-not-reached-time = Not reached: no time left.
judge-not-reached-seller = Not reached: the seller didn't want it.
judge-not-reached-tools = Not reached: no tools or lift for it there.
judge-not-reached-weather = Not reached: too dark or wet.
judge-not-reached-enough = Not reached: enough was seen.
judge-next-check = { $item }, { $time }
# $why: "could hurt somebody on the way home"
judge-next-check-why = { $item }, { $time }: { $why }
# $tools: "flashlight and mirror"
judge-next-check-tools = { $item }, { $time }, with { $tools }
judge-next-check-why-tools = { $item }, { $time }, with { $tools }: { $why }
judge-tool-block-tester = combustion leak tester
judge-tool-angle-gauge = camber and caster gauge
judge-tool-brake-fluid-tester = brake fluid tester
judge-tool-caliper = caliper
judge-tool-cardboard = clean cardboard
judge-tool-chocks = chocks
judge-tool-compression-tester = compression tester
judge-tool-coolant-tester = coolant tester
judge-tool-depth-gauge = depth gauge
judge-tool-dial-gauge = dial gauge
judge-tool-feeler-gauge = feeler gauge
judge-tool-flashlight = flashlight
judge-tool-fuel-gauge = fuel pressure gauge
judge-tool-gloves = gloves
judge-tool-hammer = small hammer
judge-tool-hand-pump = cooling system pump
judge-tool-hose-clamp = hose clamp pliers
judge-tool-leak-down-tester = leak-down tester
judge-tool-lug-wrench = lug wrench
judge-tool-magnet = magnet in a cloth
judge-tool-meter = multimeter
judge-tool-mirror = mirror
judge-tool-oil-gauge = oil pressure gauge
judge-tool-paint-gauge = paint gauge
judge-tool-plastic-blade = plastic blade
judge-tool-plug-wrench = spark plug wrench
judge-tool-plumb-line = plumb line
judge-tool-probe = probe
judge-tool-pry-bar = pry bar
judge-tool-respirator = respirator
judge-tool-scan-tool = scan tool
judge-tool-spark-tester = spark tester
judge-tool-stands = jack and stands
judge-tool-stick = stick
judge-tool-tape-measure = tape measure
judge-tool-thermometer = thermometer
judge-tool-timing-light = timing light
judge-tool-tire-gauge = tire gauge
judge-tool-towel = paper towel
judge-tool-trailer-tester = trailer light tester
judge-tool-vacuum-gauge = vacuum gauge
judge-next-hurts = could hurt somebody on the way home
judge-next-stuck = could leave you on the road
judge-next-drive = the drive home depends on it
judge-next-deal = could stop the deal
judge-next-want = what you want of it hangs on it
judge-next-cost = could cost about { $cost }
judge-plan-done = Everything's checked.
judge-plan-none = Nothing that's still open fits into { $time }.
judge-plan =
    { $count ->
        [one] In { $time }: one of the { $open } open checks, { $total } in all.
       *[other] In { $time }: { $count } of the { $open } open checks, { $total } in all.
    }
judge-plan-last = In { $time }: the one open check, { $total }.
judge-plan-no-drive = Clearing it to drive takes { $time }. Without that, plan on a trailer.
judge-enough-deal = You've seen enough. This ends it: { $item }.
judge-enough-price = You've seen enough: even if the rest is fine, it isn't worth buying.
judge-plan-enough = You've seen enough: the rest takes more time than it's worth.
judge-plan-warm =
    { $count ->
        [one] The engine is warm: one check that needs it cold is left out.
       *[other] The engine is warm: { $count } checks that need it cold are left out.
    }
# $items: what is unsafe
judge-plan-unsafe =
    { $count ->
        [one] One check waits until this is safe: { $items }.
       *[other] { $count } checks wait until this is safe: { $items }.
    }
judge-left-out-warm = The engine isn't cold anymore.
judge-left-out-stuck = Not until this is fixed: { $item }. It shouldn't run or move like this.
judge-left-out-unsafe = Not until this is fixed: { $item }. It's unsafe.

# ---- Maintenance ------------------------------------------------------------------------------
judge-due-seen = Seen, but no receipt says when.
judge-due-claimed = Somebody says so, and there's no receipt.
judge-due-unknown = Nobody knows.
judge-due-undated = The receipt doesn't say when, or at what mileage.
# "6 years since, due every 5 years"
judge-due-old = The receipt is too old: { $since } since, due every { $every } by practice.
judge-due-old-maker = The receipt is too old: { $since } since, due every { $every } by the car's maker.
judge-not-due = Receipt: { $compared }.
judge-not-due-since = { $since } since, due every { $every } by practice
judge-not-due-since-maker = { $since } since, due every { $every } by the car's maker
# A service in a list; $why is one of the sentences above
judge-due-line = { $title }. { $why }

# ---- Money ------------------------------------------------------------------------------------
judge-money = Work: about { $work }, 80% sure it stays under { $p80 }. Set aside for what we didn't see: { $set_aside }.
judge-price = Top price { $top }; open at { $opening }.
judge-price-free = Top price { $top }, and it's offered for nothing.
judge-price-little = Top price { $top }; offer next to nothing, since the work could eat all of it.
judge-price-asked = Asking { $asking }.
judge-price-none = Not worth it at any price: work, set-aside and cushion come to { $over } more than it's worth.
# $share: "38%"
judge-price-too-little = Too little seen to name a price: { $share } of what matters.
# $bound: the top price if everything that nobody looked at is fine
# $items: what somebody found in their own words, and nobody said what it costs
judge-price-no-figure = Without a figure, so not in this price: { $items }.
judge-price-enough-seen = Enough seen: even if all the rest is fine, it's not worth more than { $bound }.
judge-price-stopped = No price until that's cleared.
judge-price-unknown = Say what it's worth when done, and the top price follows.
judge-argument = { $title }, about { $cost }.
judge-argument-why = { $title }, about { $cost }. { $why }

# ---- Names of what is worked out ---------------------------------------------------------------
judge-fact-above-minimum = Thickness over the stamped minimum
judge-fact-above-minimum-short = Thickness under the stamped minimum
judge-fact-above-wet = Boiling point over its class's wet minimum
judge-fact-above-wet-short = Boiling point under its class's wet minimum
judge-fact-age = Age
judge-fact-age-gap = Age difference across the axle
judge-fact-allowed = Free play the law allows
judge-fact-axle-gap = Difference across the axle
judge-fact-baseline = The car's own paint
judge-fact-believed = What the engine computer reads
judge-fact-below-dry = Boiling point under its class's dry minimum
judge-fact-below-dry-short = Boiling point over its class's dry minimum
judge-fact-below-maximum = Diameter under the stamped maximum
judge-fact-below-maximum-short = Diameter over the stamped maximum
judge-fact-boils = Coolant boiling point
judge-fact-charge = State of charge
judge-fact-circuit = Sensor circuit
judge-fact-confidence = Confidence
judge-fact-d610 = Rust grade by area (10 clean to 0)
judge-fact-days-to-half = Until the battery is half empty
judge-fact-depth = Lowest tread
judge-fact-depth-skin = Outer skin
judge-fact-depth-load-bearing = Load-bearing metal
judge-fact-depth-anchorage = Seat belt anchorage
judge-fact-depth-closure = Door, hood or lid
judge-fact-deviation = Off the car's own paint
judge-fact-difference = Left against right
judge-fact-expected = Expected
judge-fact-expected-high = Expected at most
judge-fact-expected-idle = Expected at idle
judge-fact-expected-low = Expected at least
judge-fact-fallen = Mileage falls by
judge-fact-filled = Panels that look filled
judge-fact-finish = Finish
judge-fact-freezes = Coolant freezing point
judge-fact-highest = Highest cylinder
judge-fact-hold = Fuel pressure
judge-fact-idle-off = Off the expected idle pressure
judge-fact-imbalance = Brakes, left against right
judge-fact-implied-vacuum = Vacuum the regulator sees
judge-fact-km-since = Driven since
judge-fact-leak = Pressure lost through
judge-fact-life = Wear left
judge-fact-loss = Pressure lost in five minutes
judge-fact-low-share = Lowest cylinder, share of the highest
judge-fact-lowest = Lowest cylinder
judge-fact-mean = Cylinder average
judge-fact-material = Panel
judge-fact-years-over = Beyond the maker's interval by
judge-fact-distance-over = Beyond the maker's interval by
judge-fact-firing = Plug wires
judge-fact-wires-beside = Cylinders that fire in turn and stand side by side
judge-fact-misses = Cylinders that miss
judge-fact-polarity = Battery
judge-fact-bonded = Lining over the shoe
judge-fact-neighbours = Two low side by side
judge-fact-off = Off the curve
judge-fact-off-degrees = Off the maker's figure
judge-fact-off-mean = Off the average
judge-fact-off-spec = Off the maker's figure
judge-fact-oil-share = Oil pressure, share of what's expected
judge-fact-out-of-square = Out of square
judge-fact-panel = Paint
judge-fact-pattern = Wear pattern
judge-fact-pedal-reserve = Pedal travel left
judge-fact-pedal-travel = Pedal travel used
judge-fact-play-angle = Free play as an angle
judge-fact-play-over = Free play over what the law allows
judge-fact-play-over-short = Free play left before the legal limit
judge-fact-play-share = Free play, share of the wheel's diameter
judge-fact-pressure-gap = Tire pressure difference across the axle
judge-fact-pressure-share = Pressure, share of the sticker's
judge-fact-reference = Regulator's vacuum line
judge-fact-repainted = Panels that look repainted
judge-fact-ri = Rust degree by area (Ri 0 to 5)
judge-fact-rise = Rise when charging
judge-fact-seat = Leaks past
judge-fact-set-high = Usual at most
judge-fact-set-low = Usual at least
judge-fact-set-over = Set pressure over what's usual
judge-fact-set-pressure = Set pressure
judge-fact-set-short = Set pressure under what's usual
judge-fact-serial = Serial number digits
judge-fact-short = Short of expected by
judge-fact-spare-age = Age of the spare tire
judge-fact-spread = Spread of the car's paint
judge-fact-steered-imbalance = Front brakes, left against right
judge-fact-toe-off = Toe, off the spec
judge-fact-toe-share = Toe, share of the spec
judge-fact-vacuum-below = Weaker than expected by
judge-fact-vin = VIN
judge-fact-vin-same = Same VIN everywhere
judge-fact-wet-rise = Rise with oil
judge-fact-year-agrees = Model year agrees
judge-fact-year-code = Model year code
judge-fact-years-since = Time since
judge-fact-wire-alone = Carries alone
judge-fact-wire-bears = Carries in a harness
judge-fact-wire-count = How many
judge-fact-wire-drop = Voltage drop
judge-fact-wire-drop-allowed = Allowed voltage drop
judge-fact-wire-drop-hot = Voltage drop, hot
judge-fact-wire-fuse = Fuse for its load
judge-fact-wire-fuse-most = Largest fuse
judge-fact-wire-gauge = Wire size
judge-fact-wire-heat = Shorted, it burns
judge-fact-wire-length = Length
judge-fact-wire-load = Load
judge-fact-wire-rating = Its fuse
judge-fact-wire-risk = Wire
judge-fact-wire-thickest = Thickest wire
judge-fact-wire-short = Shorted, it draws about
judge-fact-wires-all = Damaged wires
judge-fact-wires-feed = Feeds among them
judge-fact-wires-fuse = Fuses to add
judge-fact-wires-safety = Safety circuits among them

# ---- Words that stand for a figure --------------------------------------------------------------
judge-word-yes = yes
judge-word-no = no
# an instrument that shows no figure
judge-word-none = no reading
judge-word-plastic = not steel: plastic
judge-word-aluminum = not steel: aluminum
judge-word-absent = no such panel
judge-word-material-plastic = plastic
judge-word-material-aluminum = aluminum
judge-word-material-absent = no such panel
judge-word-open = no circuit
judge-word-unusable = a reading that can't be used
judge-word-others = the other readings
judge-word-finish-original = original paint
judge-word-finish-repainted = repainted
judge-word-finish-filler = filler
judge-word-finish-thin = thin paint
judge-word-finish-no-reading = no steel found
judge-word-confidence-low = low
judge-word-confidence-medium = medium
judge-word-confidence-high = high
judge-word-firing-as-made = in the firing order
judge-word-firing-crossed = two exchanged
judge-word-firing-other = not in the firing order
judge-word-misses-none = none
judge-word-misses-one = one
judge-word-misses-in-turn = two that fire in turn
judge-word-misses-side-by-side = two side by side
judge-word-misses-both = two that fire in turn and stand side by side
judge-word-misses-several = several
judge-word-misses-unknown = two
judge-word-polarity-as-made-negative = minus on the body
judge-word-polarity-as-made-positive = plus on the body
judge-word-polarity-reversed = in backward
judge-word-seat-rings = the rings
judge-word-seat-gasket = the head gasket
judge-word-seat-valves = the valves
judge-word-seat-valves-or-gasket = the valves, or the head gasket
judge-word-seat-untested = don't know yet
judge-word-reference-none = no vacuum
judge-word-reference-weak = weak
judge-word-reference-working = works
judge-word-reference-not-fitted = no vacuum line
judge-word-set-pressure-fits-none = fits no system
judge-word-hold-empties = runs empty
judge-word-hold-keeps = keeps some
judge-word-leak-none = nothing
judge-word-leak-regulator = the regulator
judge-word-leak-pump-valve = the pump's check valve
judge-word-leak-injector = an injector
judge-word-leak-untested = don't know yet
judge-word-circuit-open = open
judge-word-circuit-short = shorted
judge-word-circuit-plausible = plausible
judge-word-circuit-off = off the curve
judge-word-vin-valid = valid
judge-word-vin-bad-character = a character no VIN has
judge-word-vin-wrong-length = wrong length
judge-word-vin-not-checkable = can't be checked
judge-word-vin-wrong-check-digit = wrong check digit
judge-word-vin-no-check-digit = no check digit
judge-word-serial-digits = digits
judge-word-serial-not-digits = not digits
judge-word-year-code-valid = valid
judge-word-year-code-invalid = invalid
judge-word-wire-heat-second = within a second
judge-word-wire-heat-seconds = within seconds
judge-word-wire-heat-minute = within a minute
judge-word-wire-risk-fire = bare and live, it can start a fire
judge-word-wire-risk-cable = nibbled, and no fuse behind it
judge-word-wire-risk-unfused = no fuse
judge-word-wire-risk-overfused = fuse too big for it
judge-word-wire-risk-overload = too thin for its load
judge-word-wire-risk-safety = bare or cut, and somebody's life hangs on it
judge-word-wire-risk-cut = cut
judge-word-wire-risk-bare = bare
judge-word-wire-risk-nibbled = insulation nibbled
judge-word-wire-risk-thin = no fuse suits both it and its load
judge-word-wire-risk-drop = loses too much voltage
judge-word-pattern-even = even
judge-word-pattern-both-edges = both edges
judge-word-pattern-centre = center
judge-word-pattern-inner-edge = inner edge
judge-word-pattern-outer-edge = outer edge
judge-word-pattern-cupped = cupped

# ---- What is added to a figure or a word, a sentence each ---------------------------------------
# $value: the reading it was worked out from
# $model: a make, model and years
judge-more-of-model = From the shop's figures for { $model }.
judge-more-from = From { $value }.
judge-more-from-unseen = From { $value }, typed on another phone.
judge-more-beside = Typed on another phone, without seeing { $value }.
judge-more-median =
    { $count ->
        [one] The median of one panel.
       *[other] The median of { $count } panels.
    }
judge-more-thinner =
    { $count ->
        [one] Of the one thinnest panel: the others are thicker than a factory paints beside it.
       *[other] Of the { $count } thinnest panels: so much thicker, the others were painted since.
    }
judge-more-factory = What factories paint at most: this car's own is thicker on most panels.
judge-more-mean =
    { $count ->
        [one] One reading.
       *[other] Average of { $count } readings.
    }
judge-more-too-few =
    { $count ->
        [one] One reading is too few to go by.
       *[other] { $count } readings are too few to go by.
    }
judge-more-panels = These: { $panels }.
judge-more-area = Says nothing about strength.
judge-more-finish-original = Like the rest of the car.
judge-more-finish-repainted = Thicker than the car's own paint, or than a factory's.
judge-more-finish-filler = So thick that there may be filler under it.
judge-more-finish-filler-sure = Far too thick for paint: that's filler.
judge-more-finish-thin = Sanded or buffed thin.
judge-more-finish-no-reading = The gauge finds no steel under it.
judge-more-charge = A meter that's 1% off puts this 15% off.
judge-more-cylinders = { $cylinders }.
# $pair: "cylinder 5 and cylinder 7"
judge-more-firing-crossed = The wires of { $pair }.
judge-more-firing-other = It should be { $order }.
# $pairs: pairs of cylinders
judge-more-wires-beside = { $pairs }: keep their wires apart, or one fires the other.
judge-more-misses-one = Its own plug, wire, injector, valves or rings.
judge-more-misses-in-turn = Their wires may be exchanged, or the cap tracks from one tower to the next.
judge-more-misses-side-by-side = The head gasket may be open between them: measure compression, dry and wet.
judge-more-misses-both = Wires that lie side by side may fire each other; or the head gasket is open between them. Part the wires first, then measure compression.
judge-more-misses-several = Look for what they share: a bank, a coil, a manifold joint, fuel.
judge-more-misses-unknown = Say in the car's details how the engine is numbered and its firing order: whether they fire in turn or stand side by side tells wires from head gasket.
judge-more-polarity-as-made-negative = As the car was made.
judge-more-polarity-as-made-positive = As the car was made. Chargers, radios and jump starts must know that.
judge-more-polarity-reversed = Not as the car was made, and nothing says that it was changed over. Generator, coil, gauges and radio are made for one way around. Turn nothing on until it's turned, and the generator polarized.
judge-more-bonded = Its linings are bonded, so it counts over the shoe.
judge-more-seat-rings = It comes up with a little oil.
judge-more-seat-gasket = Two next to each other are low.
judge-more-seat-valves = Oil changes nothing.
judge-more-seat-valves-or-gasket = Oil changes nothing. Side by side in the block they're the gasket; say how this engine is numbered.
judge-more-seat-untested = Measure again with a little oil.
judge-more-sea-level = At sea level.
judge-more-height = At that altitude.
# $vacuum: "16 inHg"
judge-more-vacuum = Assuming { $vacuum } of vacuum, since nobody measured it.
judge-more-reference-none = Hose off or split, or the regulator doesn't follow it.
judge-more-reference-weak = Weak vacuum at idle: engine or hose.
judge-more-reference-not-fitted = No return, or one point: the pressure doesn't follow the vacuum.
judge-more-set-pressure-fits-none = No common fuel injection runs at that. Say in the car's details which one it has.
judge-more-hold-empties = In a few minutes nothing is left.
judge-more-hold-keeps = Some is left after five minutes.
judge-more-leak-none = The rail holds.
judge-more-leak-regulator = It holds with the return clamped.
judge-more-leak-pump-valve = It holds with the supply clamped.
judge-more-leak-injector = It drops with either hose clamped.
judge-more-leak-untested = Clamp the return hose next, then the supply.
judge-more-leak-supply = It drops with the return clamped: clamp the supply next.
judge-more-circuit-open = Read as deep cold, so the mixture goes rich.
judge-more-circuit-unplugged = Read as deep cold, so the mixture goes rich. With the plug jumpered it must read hot.
judge-more-circuit-short = Read as very hot, so the mixture goes lean. Unplugged it must read cold.
judge-more-as-read = As read.
judge-more-mix = From the mix.
judge-more-water = Plain water, since nobody knows the mix.
judge-more-cap = At sea level, with a good cap.
judge-more-vin-bad-character = No VIN has what's at { $positions }.
judge-vin-position = position { $position } ({ $letter })
judge-more-vin-wrong-length =
    { $count ->
        [one] One character; a VIN has 17.
       *[other] { $count } characters; a VIN has 17.
    }
judge-more-vin-not-checkable =
    { $count ->
        [one] One character: before 1981 every maker had its own numbers.
       *[other] { $count } characters: before 1981 every maker had its own numbers.
    }
judge-more-vin-valid = Check digit { $digit } is right.
judge-more-vin-wrong-check-digit = Digit 9 is { $digit } and should be { $right }.
judge-more-vin-no-check-digit = Digit 9 isn't a valid check digit; only cars sold new in North America need one.
judge-more-no-year = { $letter } in position 10 isn't a year.
# $earlier, $later: "142,000 mi", or "142,000 mi (May 2, 2019)" where the paper has a date
judge-more-fallen-paper = { $earlier }, later { $later }.
judge-more-fallen-dial = { $earlier } on paper, { $later } on the dial.
judge-mileage-dated = { $value } ({ $date })
# $years: "1994 or 2024"
judge-more-year-code = { $letter } means { $years }.
judge-more-years = Given { $given }, coded { $coded }.
judge-more-wheel = Wheel size unknown, so the strictest figure counts.
judge-more-dot-4 = Class unknown, so taken as DOT 4.
# $months: "Mar 2018"
judge-more-made = Made about { $months }.
judge-more-made-decades = At least: made about { $months }, or earlier. Three digits don't tell the decade.
judge-more-lowest = The lowest spot counts.
judge-more-pattern-even = Worn evenly.
judge-more-pattern-both-edges = Usually run low on air.
judge-more-pattern-centre = Usually run with too much air.
judge-more-pattern-inner-edge = Camber or toe-out, worn bushings, or a bent part.
judge-more-pattern-outer-edge = Camber or toe-in, worn bushings, or hard cornering.
judge-more-pattern-cupped = Tired shock, loose bearing or joint, or out of balance.

# ---- Wires ---------------------------------------------------------------------------------------
judge-wire-one = Wire
judge-wire-bunch =
    { $count ->
        [one] One wire
       *[other] { $count } wires
    }
judge-wire-awg = { $size } AWG
judge-wire-mm2 = { $size } mm²
# a bunch of several sizes; $thin, $thick: "18 AWG"
judge-wire-sizes = { $thin } to { $thick }
judge-wire-field-thickest = Thickest of them
judge-wire-field-where = Where
judge-wire-field-count = About how many
judge-wire-field-circuit = What it feeds
judge-wire-field-gauge = Wire size
judge-wire-field-state = Insulation
judge-wire-field-fuse = Protected by
judge-wire-field-rating = Its fuse
judge-wire-field-length = Length there and back
judge-wire-field-load = Load
judge-wire-field-near = Near
judge-wire-field-note = Note
judge-wire-circuit-cable = Battery cable
judge-wire-circuit-charging = Charging cable
judge-wire-circuit-fuel-pump = Fuel pump
judge-wire-circuit-ignition = Ignition
judge-wire-circuit-fan = Fan
judge-wire-circuit-lights = Lights
judge-wire-circuit-horn = Horn
judge-wire-circuit-trailer = Trailer
judge-wire-circuit-stereo = Stereo
judge-wire-circuit-injector = Injector
judge-wire-circuit-sensor = Sensor
judge-wire-circuit-brakes = Brakes
judge-wire-circuit-airbag = Airbag
judge-wire-where-firewall = firewall
judge-wire-where-intake = intake
judge-wire-where-injectors = injectors
judge-wire-where-fuse-box = fuse box
judge-wire-where-fender = fender
judge-wire-where-dash = dash
judge-wire-where-door = door
judge-wire-where-trunk = trunk
judge-wire-where-tank = tank
judge-wire-state-insulated = Whole
judge-wire-state-nibbled = Nibbled
judge-wire-state-bare = Bare
judge-wire-state-cut = Cut
judge-wire-fuse-none = None
judge-wire-fuse-fuse = Fuse
judge-wire-fuse-link = Fusible link
judge-wire-fuse-unknown = Don't know
judge-wire-near-metal = Metal
judge-wire-near-fuel = Fuel
judge-wire-near-heat = Exhaust
judge-wire-near-moving = Belts
judge-wire-near-nothing = Nothing
# $count: from so many wires on
judge-wire-tips =
    { $count ->
        [one] With any wire the harness is cheaper.
       *[other] From { $count } wires on the harness is cheaper.
    }

# ---- What was found that no check asks for, in somebody's own words ----
judge-own-untitled = Something in their own words
judge-own-mend = Mend: { $words }
judge-own-ungraded = "{ $item }" has no rating. Say how bad it is: it doesn't count until then.
