# Capture first: what the one control at the foot opens, and the list of what is to be sorted. The
# phone loads these words with those screens.

capture-hint = Saved on this phone at once. It can wait to be sorted.
capture-photo = Photo
# The viewfinder within the app: one photo after another
capture-row = Photos in a row
capture-note = Note
# A fault that no check asks for, in one's own words
capture-own = Own finding
capture-note-keep = Save the note
capture-note-kept = Note saved on this phone.
capture-no-camera = This browser gives no camera view here. Use Photo: it opens the phone's own camera.
capture-preparing =
    { $count ->
        [one] Saving 1 photo…
       *[other] Saving { $count } photos…
    }
capture-kept =
    { $count ->
        [one] 1 photo saved.
       *[other] { $count } photos saved.
    }
capture-zoom = Zoom
capture-light = Light
capture-done = Done
capture-sort-title = To sort
capture-sort-why = Taken on the spot. Put each with its check, or leave it: it's saved either way.
capture-sort-none = Nothing waits to be sorted.
capture-name-photo = Photo { $number }
capture-name-note = Note { $number }
capture-name-engine = Engine sound { $number }
capture-name-voice = Voice note { $number }
capture-put-with = Put with: { $title }
capture-choose = Another check
capture-remove = Remove
capture-removed = Removed.
capture-search = Search checks
capture-search-none = No check has these words. Try fewer.
capture-search-more = { $count } more: type another word.
# Puts a photo before all others of its check
capture-first = Put first
capture-first-said = first
capture-nearer = Nearer
capture-farther = Farther
