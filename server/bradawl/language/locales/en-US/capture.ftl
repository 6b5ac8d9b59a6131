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
capture-engine = Engine sound
# Asked once in a visit, before anything is recorded that may hold a voice
capture-voice-title = Who will be heard?
capture-voice-law = Some states let you record a conversation only if everyone in it agrees. Ask first; your state's law decides. An engine sound picks up voices too.
capture-voice-agreed = Everyone here agrees
capture-voice-alone = Only I will be heard
capture-voice-no = Don't record
capture-opening = Opening the microphone…
# $length: how long it has gone on; $most: when it ends by itself
capture-time = Recording { $length } of { $most }
capture-level = Loudness
capture-too-loud = Too loud for the microphone: move away a little.
capture-engine-hint = Hood open, an arm's length away. Hands, hair and sleeves clear of belts and fans. Nobody talks.
capture-voice-hint = Every second is saved as you speak.
capture-stop = Stop and save
capture-cancel = Cancel, keep nothing
capture-listen = Listen
capture-again = Record another
capture-delete = Delete recording
capture-delete-sure = Yes, delete it
capture-deleted = Recording deleted. If the shop has it, it is out of all lists and reports there until an owner erases it.
capture-no-microphone = No microphone. Allow it for this page in the browser's settings, and close other apps that use it.
capture-sound-failed = The recording stopped: this phone's storage is full or out of reach. What was saved before that is kept.
capture-sounds = Recordings of checks
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
# The car's number, read from the bar code of a label, a title or a windshield
capture-vin = VIN by bar code
capture-sort-title = To sort
capture-sort-why = Taken on the spot. Put each with its check, or leave it: it's saved either way.
capture-sort-none = Nothing waits to be sorted.
capture-name-photo = Photo { $number }
capture-name-note = Note { $number }
capture-name-engine = Engine sound { $number }
capture-name-voice = Voice note { $number }
# A recording of a check: $name is “Engine sound 1”
capture-sound-of = { $name }: { $title }
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
