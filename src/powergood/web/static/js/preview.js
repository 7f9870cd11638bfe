/** Shows a chosen photo under its field before it is sent. */
export function showPreviews(root) {
  for (const field of root.querySelectorAll("[data-preview]:not([data-live])")) {
    field.dataset.live = "yes";
    field.addEventListener("change", () => {
      field.parentElement.querySelector(".preview")?.remove();
      const [file] = field.files;
      if (!file || !file.type.startsWith("image/")) return;
      const picture = document.createElement("img");
      picture.className = "preview";
      picture.alt = `The photo you chose: ${file.name}`;
      picture.src = URL.createObjectURL(file);
      picture.addEventListener("load", () => URL.revokeObjectURL(picture.src), { once: true });
      picture.addEventListener("error", () => picture.remove(), { once: true });
      field.after(picture);
    });
  }
}
