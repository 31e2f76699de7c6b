// Elements with text; a text is never read as markup.
export const el = (name, text, className) => {
  const e = document.createElement(name);
  if (text !== undefined) e.textContent = text;
  if (className) e.className = className;
  return e;
};
