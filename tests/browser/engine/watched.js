// Keeps what the page complains of, for an engine whose driver doesn't tell. It runs before the page does.
{
  const KEY = "watched";
  const note = (what) => {
    try {
      sessionStorage.setItem(KEY, JSON.stringify([...JSON.parse(sessionStorage.getItem(KEY) ?? "[]"), what]));
    } catch { /* a frame without storage */ }
  };
  for (const level of ["error", "warn"]) {
    const write = console[level];
    console[level] = (...parts) => { note(`console ${level}: ${parts.map(String).join(" ")}`); write.apply(console, parts); };
  }
  // An observer whose work changes the size it observes hears of it a frame later: WebKit calls that an error, others are silent.
  const LATER = /^ResizeObserver loop completed/;
  addEventListener("error", ({ message, target }) => {
    if (!LATER.test(message ?? "")) note(message ? `exception: ${message}` : `not loaded: ${target.src ?? target.href}`);
  }, true);
  addEventListener("unhandledrejection", ({ reason }) => note(`rejection: ${reason}`));
  addEventListener("securitypolicyviolation", ({ violatedDirective, blockedURI }) => note(`against the policy: ${violatedDirective} ${blockedURI}`));
}
