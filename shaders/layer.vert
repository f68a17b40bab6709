#version 330 core
// A box of the picture, without any vertices given; rows from the top.
uniform vec4 window;  // part of the picture drawn into: x, y, width, height, px
uniform vec4 box;     // x0, y0, x1, y1, px
flat out ivec2 origin;
void main() {
  vec2 p = mix(box.xy, box.zw, vec2(gl_VertexID & 1, gl_VertexID >> 1));
  origin = ivec2(box.x - window.x, window.y + window.w - box.w);
  gl_Position = vec4(2.0 * (p.x - window.x) / window.z - 1.0, 1.0 - 2.0 * (p.y - window.y) / window.w, 0.0, 1.0);
}
