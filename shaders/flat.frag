#version 330 core
in vec2 line;
in vec4 tint;
out vec4 color;
void main() {
  // A line fades over one pixel at its edges; thinner than a pixel, it is faint instead.
  float cover = clamp(line.y - abs(line.x) + 0.5, 0.0, 1.0) * min(1.0, 2.0 * line.y);
  color = vec4(tint.rgb, tint.a * cover);
}
