// A chosen file is read into the text area, where it can be looked at before it is sent. Nothing is sent by choosing.

const BYTES_MOST = 1_500_000;

// Text of bytes as spreadsheets save them: UTF-8, UTF-16 with its mark, else the old western page.
export function decoded(bytes) {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return new TextDecoder("utf-16le").decode(bytes);
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return new TextDecoder("utf-16be").decode(bytes);
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder("windows-1252").decode(bytes);
  }
}

// Why a file cannot be read as text; nothing when it can.
export function refused(bytes) {
  if (bytes.length > BYTES_MOST) return "The file is too large. Save the programme alone, without the log.";
  if (bytes[0] === 0x50 && bytes[1] === 0x4b) return "That is a workbook. Save its sheet as CSV and choose that.";
  if (bytes[0] === 0x25 && bytes[1] === 0x50) return "That is a PDF. Save the sheet as CSV and choose that.";
  return "";
}

export function arm(field) {
  const area = document.getElementById(field.dataset.reads);
  const said = field.parentElement.querySelector("[role=status]");
  field.parentElement.hidden = false;
  field.addEventListener("change", async () => {
    const file = field.files[0];
    if (!file) return;
    const bytes = new Uint8Array(await file.arrayBuffer());
    const why = refused(bytes);
    if (why) {
      said.textContent = why;
      field.value = "";
      return;
    }
    area.value = decoded(bytes);
    said.textContent = `${file.name}: ${area.value.split("\n").filter((line) => line.trim()).length} lines.`;
    area.focus();
  });
}
