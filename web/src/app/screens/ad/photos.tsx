/** Photos below a path: of an ad, of what proves a claim. */

import { useState } from "preact/hooks";
import type { Said } from "../../../shared/said";
import { PhotoPicture } from "../../components/photos/photo-picture";
import { photoServices } from "../../state/this-page";
import { say, text } from "../../text/catalogue";
import { recordPhoto } from "../../visit/capture/record-photo";
import type { Visit } from "../../visit/visit";

export function Photos({
  visit,
  under,
  label,
  shown,
  alt,
}: {
  visit: Visit;
  /** The path below which they stand. */
  under: string;
  label: string;
  shown: string[];
  alt: (number: number) => string;
}) {
  const [isBusy, setBusy] = useState(false);
  const [problem, setProblem] = useState<Said | null>(null);
  const id = under.replaceAll("/", "-");
  const take = async (input: HTMLInputElement) => {
    setProblem(null);
    setBusy(true);
    for (const file of [...(input.files ?? [])]) {
      const failure = await recordPhoto(photoServices, visit, under, file);
      if (failure !== null) setProblem(failure);
    }
    input.value = "";
    setBusy(false);
  };
  return (
    <div class="photos">
      <div class="photo-buttons">
        <label class="button" for={id}>
          {label}
        </label>
        <input
          id={id}
          class="file"
          type="file"
          accept="image/*"
          multiple
          onChange={(event) => void take(event.currentTarget)}
        />
      </div>
      {isBusy && <p role="status">{text("phone-photo-preparing")}</p>}
      {problem !== null && (
        <p class="wrong" role="alert">
          {say(problem)}
        </p>
      )}
      <ul class="photo-list">
        {shown.map((sha256, index) => (
          <li key={sha256} class="photo">
            <PhotoPicture sha256={sha256} alt={alt(index + 1)} />
          </li>
        ))}
      </ul>
    </div>
  );
}
