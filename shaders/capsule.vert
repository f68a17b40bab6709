#version 330 core
// A ball swept along a line, as the hull of two discs in the picture. Each vertex is a direction around one
// of the two; where the hull is straight they meet.
layout(location = 0) in vec2 around;      // share of the half circle, 0..1; which disc, 0 or 1
layout(location = 1) in vec4 ends;        // a, b: px
layout(location = 2) in vec4 sizes;       // radii of a and b, px; depths of a and b
layout(location = 3) in vec4 color;
layout(location = 4) in vec4 line_color;
layout(location = 5) in vec4 look;        // outline px, shade 0 or 1, how far b is behind a (-1..1), half width of a stripe
layout(location = 6) in vec2 stripes;     // shares of the way from a to b, 0: none
uniform vec4 window;  // part of the picture drawn into: x, y, width, height, px
invariant gl_Position;
out vec2 at_px;
flat out vec4 axis;
flat out vec2 radii;
flat out vec4 fill, outline;
flat out vec4 looks;
flat out vec2 bands;
const float pi = 3.14159265358979;
void main() {
  vec2 way = ends.zw - ends.xy;
  float len = length(way);
  vec2 u = len > 1e-4 ? way / len : vec2(1.0, 0.0);
  vec2 v = vec2(-u.y, u.x);
  // The straight edges touch both discs: they leave them turned by this much from square.
  float lean = asin(clamp((sizes.x - sizes.y) / max(len, 1e-4), -1.0, 1.0));
  float square = 0.5 * pi - lean;
  // Disc a spans from the one edge backwards to the other, disc b the rest.
  float angle = around.y < 0.5 ? square + 2.0 * (pi - square) * around.x : square * (2.0 * around.x - 1.0);
  float grow = 0.5 * look.x;
  float radius = (around.y < 0.5 ? sizes.x : sizes.y) + grow;
  vec2 centre = around.y < 0.5 ? ends.xy : ends.zw;
  at_px = centre + radius * (cos(angle) * u + sin(angle) * v);
  axis = ends;
  radii = sizes.xy;
  fill = color;
  outline = line_color;
  looks = look;
  bands = stripes;
  float along = len > 1e-4 ? clamp(dot(at_px - ends.xy, u) / len, 0.0, 1.0) : 0.0;
  float depth = mix(sizes.z, sizes.w, along);
  gl_Position = vec4(2.0 * (at_px.x - window.x) / window.z - 1.0, 1.0 - 2.0 * (at_px.y - window.y) / window.w, 2.0 * depth - 1.0, 1.0);
}
