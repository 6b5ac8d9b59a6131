/** The four answers and the reasons, spoken by a voice of the phone itself; nothing leaves it. */

import { useEffect, useState } from "preact/hooks";
import type { Assessment } from "../../../shared/contract";
import { catalogue, text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";
import { spoken, voiceOf } from "./spoken";

function useVoice(): SpeechSynthesisVoice | null {
  const find = () => voiceOf(window.speechSynthesis?.getVoices() ?? [], catalogue.locale);
  const [voice, setVoice] = useState(find);
  useEffect(() => {
    const look = () => setVoice(find());
    look();
    window.speechSynthesis?.addEventListener?.("voiceschanged", look);
    return () => {
      window.speechSynthesis?.removeEventListener?.("voiceschanged", look);
      window.speechSynthesis?.cancel();
    };
  }, []);
  return voice;
}

export function ReadAloud({ visit, assessment }: { visit: Visit; assessment: Assessment }) {
  const voice = useVoice();
  const [state, setState] = useState<"silent" | "speaking" | "paused">("silent");
  if (voice === null) return null;
  const { speechSynthesis } = window;
  const start = () => {
    speechSynthesis.cancel();
    const sentences = spoken(visit, assessment);
    for (const [n, sentence] of sentences.entries()) {
      const said = new SpeechSynthesisUtterance(sentence);
      said.voice = voice;
      said.lang = voice.lang;
      if (n === sentences.length - 1) said.onend = () => setState("silent");
      speechSynthesis.speak(said);
    }
    setState("speaking");
  };
  const hold = () => {
    if (state === "paused") speechSynthesis.resume();
    else speechSynthesis.pause();
    setState(state === "paused" ? "speaking" : "paused");
  };
  const stop = () => {
    speechSynthesis.cancel();
    setState("silent");
  };
  return state === "silent" ? (
    <button type="button" onClick={start}>
      {text("aloud-start")}
    </button>
  ) : (
    <div class="aloud">
      <button type="button" onClick={hold}>
        {text(state === "paused" ? "aloud-go-on" : "aloud-pause")}
      </button>
      <button type="button" onClick={stop}>
        {text("aloud-stop")}
      </button>
    </div>
  );
}
