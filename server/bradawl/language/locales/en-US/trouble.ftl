# From symptom to cause: phone and desk say the same. The phone loads these words with that screen.

trouble-title = Find the cause
trouble-intro = What does the car do that it shouldn't? Pick what comes closest.
trouble-search = Search symptoms
trouble-none = No symptom has these words. Try fewer.
trouble-gone = This symptom is in no table of this visit. Go back to the list.
trouble-begun = Begun on this car
trouble-group-starting = Starting
trouble-group-running = Engine running
trouble-group-smoke = Smoke
trouble-group-cooling = Heat and coolant
trouble-group-electrics = Battery, charging, lights
trouble-group-brakes = Brakes
trouble-group-steering = Steering and tires
trouble-group-ride = Noise and ride
trouble-group-drivetrain = Clutch, transmission, axle
trouble-group-smells = Smells
trouble-stands = { $standing }: { $cause }

# how a cause stands
trouble-is-found = Found
trouble-is-likely = Likely
trouble-is-possible = Possible
trouble-is-unlikely = Unlikely
trouble-is-against = Hardly
trouble-is-ruled_out = Ruled out

trouble-causes = Causes
trouble-causes-more =
    { $count ->
        [one] 1 less likely cause
       *[other] { $count } less likely causes
    }
trouble-next = Next test
trouble-others = Other tests
trouble-no-next = No test left in this table can tell more.
trouble-no-next-found = The cause is found. Repeat a test after the fix to prove it.
trouble-minutes = { $minutes } min
trouble-with = With: { $tools }
trouble-found-what = What did you find?
trouble-lack = No { $tool } here
trouble-skip = Skip this test
trouble-back = Offer it again
trouble-have = I have it: { $tool }
trouble-passed = Passed over
trouble-passed-car = This car doesn't have it.
trouble-passed-skipped = You skipped it.
trouble-passed-tool = Needs: { $tools }.
trouble-passed-nothing = It can't change anything now.
trouble-known = What is known already
trouble-known-line = { $test }: { $outcome }
trouble-from-record = { $said } Recorded by { $who }, { $when }
trouble-from-person = Tested by { $who }, { $when }
trouble-this-device = this phone
trouble-another-device = another device
trouble-disagrees = The record says otherwise ({ $outcome }). { $said } Your own result counts. Take it back if it's wrong.
trouble-take-back = Take back
trouble-out = Ruled out
trouble-out-car = This car doesn't have it.
trouble-out-by = { $why } ({ $who }, { $when })
trouble-rule-out = Rule out
trouble-rule-out-why = Why? { $cause }
trouble-rule-out-save = Rule it out
trouble-bring-back = Bring it back
trouble-repair = Repair: { $repair }, about { $cost }
trouble-goes-on = Go on with “{ $symptom }”
trouble-harmless = Nothing to fix.
trouble-it-is = This is it
trouble-it-is-which = How bad is it?
trouble-it-is-done = Found: { $cause }
trouble-in-bill = { $repair } is in the repairs now, about { $cost }.
trouble-in-plan = It's in the repairs now. Price it at the desk.
trouble-not-it = It wasn't that
trouble-how = How it got there
trouble-how-why = How often each cause happens, times how likely each result is if that's the cause, shared out to 100%. A result never counts less than 1%: a test can go wrong. These figures are assumptions; your shop can edit them.
trouble-how-row = { $cause }: { $before } before, { $now } now
trouble-how-step = { $test }: { $outcome }, { $percent }
trouble-recorded = { $test }: { $outcome }.
trouble-readings = Readings: { $check }

# readings that are taken again
trouble-measure = Readings before and after
trouble-measure-add = Add a reading
trouble-measure-save = Save reading
trouble-measure-before = Before the fix
trouble-measure-after = After the fix
trouble-measure-minute = Minutes after key-off
trouble-condition-engine = Engine
trouble-condition-engine-cold = cold
trouble-condition-engine-hot = hot
trouble-condition-rpm = rpm
trouble-condition-hose = Vacuum hose
trouble-condition-hose-on = on
trouble-condition-hose-off = off
trouble-plot = { $reading }: before { $before }; after { $after }
trouble-plot-none = not taken
trouble-again = Tested again after the fix
trouble-again-line = Before the fix: { $before }

# what it turned out to be
trouble-turned-out = What did it turn out to be?
trouble-turned-out-none = Not known yet
trouble-turned-out-line = Turned out: { $causes }
trouble-turned-out-of = On { $car }: { $causes }
trouble-turned-out-count = { $cause } { $count }

# what the judge says
judge-trouble-measured = { $item }: { $name } { $value }.
judge-trouble-answered = { $item }: { $choice }.
judge-trouble-rated = { $item }: { $grade }.
judge-trouble-tells-whether = Checks for: { $cause }.
judge-trouble-tells-apart = Tells “{ $one }” from “{ $other }”.
trouble-steps = Step by step
