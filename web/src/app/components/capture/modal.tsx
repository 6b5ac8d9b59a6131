/** A sheet over the screen, at its foot or over all of it; what lies below cannot be touched. */

import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";

import "./modal.css";

export function Modal({
  label,
  className,
  onClose,
  children,
}: {
  label: string;
  className: string;
  onClose: () => void;
  children: ComponentChildren;
}) {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => dialog.current?.showModal(), []);
  useEffect(() => {
    const shown = dialog.current;
    // beside the sheet; the keyboard has Escape
    const beside = (event: Event) => event.target === shown && onClose();
    shown?.addEventListener("click", beside);
    return () => {
      shown?.removeEventListener("click", beside);
    };
  }, [onClose]);
  return (
    <dialog
      ref={dialog}
      class={`modal ${className}`}
      aria-label={label}
      onCancel={(event) => {
        event.preventDefault();
        onClose();
      }}
    >
      <div class="modal-in">{children}</div>
    </dialog>
  );
}
