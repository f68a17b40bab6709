#version 330 core
// The mean of all samples of all texels of a pixel.
uniform sampler2DMS many;
uniform int samples;
uniform int grain;  // texels along each side of a pixel
out vec4 color;
void main() {
  ivec2 first = ivec2(gl_FragCoord.xy) * grain;
  vec4 sum = vec4(0.0);
  for (int y = 0; y < grain; ++y)
    for (int x = 0; x < grain; ++x)
      for (int i = 0; i < samples; ++i) sum += texelFetch(many, first + ivec2(x, y), i);
  color = sum / float(samples * grain * grain);
}
