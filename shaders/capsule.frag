#version 330 core
in vec2 at_px;
flat in vec4 axis;
flat in vec2 radii;
flat in vec4 fill, outline;
flat in vec4 looks;
flat in vec2 bands;
uniform vec4 band_color;
uniform int grain;  // texels along each side of a pixel
out vec4 color;
const vec3 light = vec3(-0.42, -0.62, 0.66);  // from the upper left, in front; y down
void main() {
  if (looks.y < 0.5) {
    color = fill;
    return;
  }
  vec2 way = axis.zw - axis.xy;
  float squared = dot(way, way);
  float len = sqrt(squared);
  float along = squared > 1e-6 ? dot(at_px - axis.xy, way) / squared : 0.0;
  float t = clamp(along, 0.0, 1.0);
  float radius = max(mix(radii.x, radii.y, t), 1e-3);
  vec2 across = (at_px - axis.xy - t * way) / radius;
  float off = min(dot(across, across), 1.0);
  vec3 normal = vec3(across, sqrt(1.0 - off));
  float lit = dot(normal, light);
  // Two calm tones with a soft edge between them.
  float tone = mix(0.80, 1.06, smoothstep(0.05, 0.55, lit));
  vec3 paint = fill.rgb;
  if (looks.w > 0.0 && len > 1.0) {
    // A stripe runs around: where the limb points away its rings are seen as arcs.
    float ring = (along * len - radius * normal.z * looks.z) / len;
    float soft = 0.7 / len;
    float stripe = 0.0;
    for (int i = 0; i < 2; ++i)
      stripe = max(stripe, 1.0 - smoothstep(looks.w - soft, looks.w + soft, abs(ring - bands[i])));
    paint = mix(paint, band_color.rgb, stripe);
  }
  paint = min(paint * tone, vec3(1.0));
  float edge = (length(across) - 1.0) * radius + 0.5 * looks.x;  // px outwards from where the outline begins
  paint = mix(paint, outline.rgb, looks.x > 0.0 ? clamp(float(grain) * edge + 0.5, 0.0, 1.0) : 0.0);
  color = vec4(paint, fill.a);
}
