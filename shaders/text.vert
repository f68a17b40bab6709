#version 330 core
layout(location = 0) in vec4 place;   // clip space, with the distance as w for words painted on walls
layout(location = 1) in vec2 texel;   // in the glyph atlas
layout(location = 2) in vec4 color;
layout(location = 3) in vec4 halo;    // rim; transparent: none
out vec2 at;
out vec4 ink, rim;
void main() {
  at = texel;
  ink = color;
  rim = halo;
  gl_Position = place;
}
