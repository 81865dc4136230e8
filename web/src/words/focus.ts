// Where the keyboard is, when what it was on has gone.

/** For `ref`: takes the focus if it is nowhere, because what had it went as this came. */
export function heir(element: HTMLElement): void {
  queueMicrotask(() => {
    if (document.activeElement === document.body) element.focus({ preventScroll: true });
  });
}
