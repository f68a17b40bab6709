#version 330 core
// The atlas holds distances to the edge of each letter, so letters are sharp at any size.
flat in vec2 letter;
in vec2 at;
in vec4 ink, rim;
uniform sampler2D atlas;
uniform float atlas_px;
uniform float spread_px;
out vec4 color;
void main() {
  // Rounded so that where in the atlas a letter lies does not matter, to the last bit.
  vec2 uv = (letter + floor(at * 256.0 + 0.5) / 256.0) / atlas_px;
  float outside = (0.5 - texture(atlas, uv).r) * 2.0 * spread_px;  // texels
  vec2 dx = dFdx(at), dy = dFdy(at);
  float texels = max(1e-4, sqrt(0.5 * (dot(dx, dx) + dot(dy, dy))));  // in one pixel
  float px = outside / texels;
  float body = clamp(0.5 - px, 0.0, 1.0) * ink.a;
  float wide = min(3.0, 0.9 * spread_px / texels);
  float around = rim.a * clamp(wide + 0.5 - px, 0.0, 1.0);
  float a = body + around * (1.0 - body);
  color = vec4((ink.rgb * body + rim.rgb * around * (1.0 - body)) / max(a, 1e-4), a);
}
