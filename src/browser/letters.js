// Draws one letter into a canvas of its own and copies how much of each texel it covers; gives the advance, px.
// The page has loaded the fonts; a letter that they lack comes from the fonts of the device.
mergeInto(LibraryManager.library, {
  $lettersCanvas: {context: null},
  halfturn_letter__deps: ["$lettersCanvas"],
  halfturn_letter: function (code, weight, size, box, x, y, cover) {
    if (!lettersCanvas.context) {
      var canvas = document.createElement("canvas");
      canvas.width = canvas.height = box;
      lettersCanvas.context = canvas.getContext("2d", {willReadFrequently: true});
    }
    var context = lettersCanvas.context, text = String.fromCodePoint(code);
    context.clearRect(0, 0, box, box);
    context.font = weight + " " + size + "px HalfturnInter, sans-serif";
    context.fillText(text, x, y);
    var pixels = context.getImageData(0, 0, box, box).data;
    for (var i = 0; i < box * box; ++i) HEAPU8[cover + i] = pixels[4 * i + 3];
    return context.measureText(text).width;
  },
});
