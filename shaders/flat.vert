#version 330 core
// Filled shapes and lines, placed in the picture by the program: pixels in, rows from the top.
layout(location = 0) in vec3 place;       // x, y px; depth 0 near, 1 far
layout(location = 1) in vec2 across;      // px from the middle of a line; half its width (fills: 0, large)
layout(location = 2) in vec4 color;
uniform vec4 window;  // part of the picture drawn into: x, y, width, height, px
invariant gl_Position;
out vec2 line;
out vec4 tint;
void main() {
  line = across;
  tint = color;
  gl_Position = vec4(2.0 * (place.x - window.x) / window.z - 1.0, 1.0 - 2.0 * (place.y - window.y) / window.w, 2.0 * place.z - 1.0, 1.0);
}
