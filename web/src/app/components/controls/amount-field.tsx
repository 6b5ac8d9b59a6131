/** A field for a whole amount of money, and what was typed into it. */

import { useId } from "preact/hooks";
import { region } from "../../text/region";
import { amounts } from "../../text/typed";

/** A typed amount in whole units; null for nothing, undefined for what is none. */
export function wholeAmount(typed: string): number | null | undefined {
  if (typed.trim() === "") return null;
  const [amount] = amounts(typed, region.value);
  return amount === undefined ? undefined : Math.round(Number(amount));
}

export function AmountField({
  label,
  typed,
  onType,
  problem,
}: {
  label: string;
  typed: string;
  onType: (typed: string) => void;
  /** What is wrong with it; null for nothing. */
  problem: string | null;
}) {
  const id = useId();
  const isWrong = problem !== null;
  return (
    <div class="field">
      <label for={id}>{label}</label>
      {isWrong && (
        <p class="wrong" id={`${id}-problem`}>
          {problem}
        </p>
      )}
      <input
        id={id}
        type="text"
        inputMode="decimal"
        autocomplete="off"
        value={typed}
        aria-invalid={isWrong || undefined}
        aria-describedby={isWrong ? `${id}-problem` : undefined}
        onInput={({ currentTarget }) => onType(currentTarget.value)}
      />
    </div>
  );
}
