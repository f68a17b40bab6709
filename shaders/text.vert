#version 330 core
layout(location = 0) in vec4 place;   // clip space, with the distance as w for words painted on walls
layout(location = 1) in vec4 texel;   // in the glyph atlas: first of the letter; from there
layout(location = 2) in vec4 color;
layout(location = 3) in vec4 halo;    // rim; transparent: none
flat out vec2 letter;
out vec2 at;
out vec4 ink, rim;
void main() {
  letter = texel.xy;
  at = texel.zw;
  ink = color;
  rim = halo;
  gl_Position = place;
}
