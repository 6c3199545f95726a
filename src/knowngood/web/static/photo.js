// A photo made smaller before it is kept: it fits a phone's storage and a weak connection, and leaves its place behind.

const LONGEST_PX = 2560;
const QUALITY = 0.86;

// Throws when the file is no picture that this device can read.
export async function shrunk(file) {
  const picture = await createImageBitmap(file); // upright already
  const scale = Math.min(1, LONGEST_PX / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(picture.width * scale);
  canvas.height = Math.round(picture.height * scale);
  canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  const made = await new Promise((done) => { canvas.toBlob(done, "image/jpeg", QUALITY); });
  if (!made) throw new Error("the picture is too large for this device");
  return new File([made], file.name.replace(/\.\w+$/, "") + ".jpg", { type: "image/jpeg" });
}
