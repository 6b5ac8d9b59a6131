# A finding in somebody's own words. The phone loads these words with that screen.

own-add = Add what wasn't asked
own-title = In your own words
own-rows = Also found
own-where = Where?
own-grade = How bad is it?
own-words = What is it?
# $area: "Brakes"
own-is-in = Belongs to: { $area }. Change
own-note = More, if it matters: how many, which side
own-cost = What would the repair cost? Leave it empty if you don't know.
own-cost-low = At least
own-cost-high = At most
own-cost-range = Not sure? Give a range
own-cost-order = The lowest figure is at the top: { $low }, then { $likely }, then { $high }. Change what doesn't fit.
own-no-cost = No figure for the repair
own-ungraded = Say how bad it is. It doesn't count until then.
own-untitled = Something else
own-saved = { $words }: saved.
own-moved = Moved to { $area }.
own-remove = Take it back
own-removed = Taken back: { $words }
own-done = Done
